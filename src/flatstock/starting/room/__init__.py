"""Where the machines stand, so that people can work, walk and get out."""
