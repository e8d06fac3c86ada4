"""Facts: named numbers of subjects, each a short function, each traceable to what it was made of."""
