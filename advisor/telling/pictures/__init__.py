"""The pictures of a report, drawn only when a report with pictures is written."""
