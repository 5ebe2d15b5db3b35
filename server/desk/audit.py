"""Desk page: who signed in, paired, ended and changed what; for the shop's owners."""

from server.auth import admission
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
    "phone-code-set": "set a person’s short code for phones",
    "phone-code-removed": "took a person’s short code for phones away",
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
    "letterhead-set": "set what reports say of the shop",
    "erased": "erased names, registration and photos",
    "spread-accepted": "accepted the shop’s spreads",
    "recheck-done": "noted a recheck as done",
    "type-kept": "kept a vehicle type",
    "type-merged": "merged vehicle types",
    "type-refused": "refused a proposed vehicle type",
    "type-retired": "retired a vehicle type",
    "type-brought-back": "brought a vehicle type back",
    "rings-added": "added ring pairs",
    "rings-counted": "counted ring pairs",
    "rings-moved": "moved ring pairs",
    "place-added": "added a place for rings",
    "place-retired": "retired a place for rings",
    "place-brought-back": "brought a place for rings back",
    "shop-made": "set up the shop",
}


@blueprint.get("/audit")
def show():
    with database().transaction() as connection:
        rows = audit_lines.newest(connection, _MOST_SHOWN)
    return page("audit.html", rows=rows, what=WORDS, most=_MOST_SHOWN)
