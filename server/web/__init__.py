"""What all requests and answers have in common: refusals, headers, bodies, addresses, the shell of the phone."""
