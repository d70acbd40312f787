"""What a person can do, one function each; the command line and later the app call these alone."""
