"""Desk page: who signed in, paired, ended and changed what; for the shop's owners."""

from server import admission
from server.context import database
from server.desk.page import page
from server.store import audit_lines

blueprint = admission.desk_blueprint("audit", __name__, least="owner")
_MOST_SHOWN = 500

# what -> words; an unknown one is shown as it is
WORDS = {
    "signed-in": "signed in",
    "sign-in-failed": "could not sign in",
    "password-changed": "changed the own password",
    "password-set": "set another person’s password",
    "person-added": "added a person",
    "person-deactivated": "deactivated a person",
    "person-reactivated": "let a person in again",
    "role-changed": "changed a role",
    "pairing-code-made": "made a pairing code",
    "paired": "was paired",
    "pairing-failed": "tried to pair with a wrong code",
    "pairing-ended": "ended a pairing",
    "file-imported": "took in a phone’s file",
    "exported": "exported records",
    "restored": "restored the store from a backup",
    "ring-set-kept": "kept a ring set",
    "ring-set-retired": "retired a ring set",
    "ring-set-brought-back": "brought a ring set back",
    "keeping-time-set": "stated the keeping time",
    "erased": "erased names, registration and photos",
    "spread-accepted": "accepted the shop’s spreads",
    "shop-made": "set up the shop",
}


@blueprint.get("/audit")
def show():
    with database().transaction() as connection:
        rows = audit_lines.newest(connection, _MOST_SHOWN)
    return page("audit.html", rows=rows, what=WORDS, most=_MOST_SHOWN)
