"""Pages and the form -> a Job and its Problems; never raises for a bad cell."""
