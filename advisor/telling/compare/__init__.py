"""Options side by side: figures that matter, what is found here and not there, and why, from the derivations."""
