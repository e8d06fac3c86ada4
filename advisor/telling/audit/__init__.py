"""An audit told: in the terminal, as a page, as data, for code scanners and for test reports."""
