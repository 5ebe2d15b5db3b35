"""What must stay the shop's own: its certificate, the keys of its cookies, the folder that they lie in. No Flask."""
