"""The camera model and what a photo's header says about it beforehand."""
