"""Records out of the shop and in again, as files. No Flask: the desk and the command line both ask for it."""
