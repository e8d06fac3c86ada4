"""Audits a catalogue of standard packages: every claim judged, every datasheet, every price step."""
