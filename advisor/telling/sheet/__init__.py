"""The bench sheet: what a fitter needs to build and set up a job, every number of it a fact."""
