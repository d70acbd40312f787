"""The app: pages for laptop, wall tablet and phone; like the command line it calls actions alone."""
