"""Jobs as a shop's past has them, for the tests of what is derived from it: short, and only what those read."""

import uuid

from tests.server.phones import Phone


class PastJob:
    """One job of a phone; what is set is sent by `sign`, or by `send` where it stays open."""

    def __init__(self, phone: Phone, registration="TM 12-345", vin=None, **also):
        self.phone, self.job, self.entries = phone, also.pop("job", None) or str(uuid.uuid4()), []
        self.add("job-opened", None, {"checklist": 2})
        for slot, value in {"registration": registration, "vin": vin, **also}.items():
            if value is not None:
                self.set(f"vehicle.{slot}", value)

    def add(self, kind, slot, body, **changes):
        self.entries.append(self.phone.entry(self.job, kind, body, slot, **changes))
        return self.entries[-1]

    def set(self, slot, value, **changes):
        self.add("field-set", slot, {"value": value}, **changes)
        return self

    def tick(self, slot, **body):
        self.add("step-done", slot, body)
        return self

    def plan(self, number=1, left=None, right=None, tables=None, **more):
        """`left`, `right`: (ring set, inner mark, outer mark)."""
        wheels = {
            side: given and {"ring_set": given[0], "pair": list(given[1:]), "effect": [100, -200]}
            for side, given in (("left", left), ("right", right))
        }
        plan = wheels | {"predicted": {"left": [0, 0], "right": [0, 0]}, "chance": 0.9}
        return self.add(
            "plan-chosen", f"round.{number}.plan", {"plan": plan, "input": {}, "tables": tables or {}, **more}
        )

    def send(self):
        self.phone.sync(self.entries)
        self.entries = []
        return self.job

    def sign(self):
        self.add("job-signed", None, {"covers": [entry["id"] for entry in self.entries]})
        return self.send()
