"""One module a page, or a few that belong together: each reads a form, calls one action, shows the answer."""
