"""Keeps what people typed from turning the order in which a line is read, as `inOrder` of pwa/js/ui/words/text.js does.

Signs of Unicode (UAX #9, its explicit formatting characters) run the rest of a line from right to left: an angle behind
such a name would be read backwards. What is stored and exported as JSON keeps them.
"""

import re

from markupsafe import Markup

_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")


def in_order(part):
    """Return a text without them; anything else as it is."""
    return _TURNS.sub("", part) if isinstance(part, str) and not isinstance(part, Markup) else part
