"""A browser at the demo shop's desk, on the server's own machine, and the jobs that its tests want."""

import html
import re
import uuid

from calc.numbers.quantities import sign_word_of
from calc.numbers.units import text_from_mdeg
from tests.server.phones import Phone


class DemoDesk:
    """Reads pages and sends forms with the session's token."""

    def __init__(self, app):
        self.app = app
        self.phone = Phone(app)
        self.client = self.phone.client

    def get(self, path):
        return self.client.get(path)

    def post(self, path, fields=()):
        return self.client.post(path, data={"csrf_token": self.phone.token(), **dict(fields)})

    def words(self, path):
        """The page as a person reads it."""
        answer = self.get(path)
        assert answer.status_code == 200, answer.text
        return words_of(answer)

    def audit(self):
        return self.words("/desk/audit")


def words_of(answer):
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", answer.text)))


def angle(mdeg, quantity="toe"):
    text, way = text_from_mdeg(abs(mdeg), "deg"), sign_word_of(quantity, mdeg)
    return {"mdeg": mdeg, "text": text, "unit": "deg", "way": way, "diameter_mm": None}


def reading(camber, toe):
    return {"camber": angle(camber, "camber"), "toe": angle(toe)}


def plan_body(ring_sets, base, pair, windows=None):
    """The body of a plan that gives the left wheel a pair of demo-54 and the right wheel nothing."""
    row = next(each for each in ring_sets if each["id"] == "demo-54")
    inner, outer = pair
    columns = row["ring_set"]["outer"]["marks"]
    place = (inner - 1) * columns + outer - 1
    effect = [row["parsed"]["camber"][place], row["parsed"]["toe"][place]]
    predicted = {"left": [base["left"][0] + effect[0], base["left"][1] + effect[1]], "right": list(base["right"])}
    none = {"camber": None, "toe": None, "aim": None}
    asked = {
        "ring_sets": ["demo-54"],
        "wheels": {
            side: {"camber": base[side][0], "toe": base[side][1], "rings": "auto"} for side in ("left", "right")
        },
        "windows": {side: (windows or {}).get(side, none) for side in ("left", "right")},
        "axle": {"total_toe": None, "thrust": None, "cross_camber": None},
    }
    left = {"ring_set": "demo-54", "pair": [inner, outer], "effect": effect}
    (left_camber, left_toe), (right_camber, right_toe) = predicted["left"], predicted["right"]
    axle = {
        "total_toe": left_toe + right_toe,
        "thrust": (left_toe - right_toe) / 2,
        "cross_camber": left_camber - right_camber,
    }
    judged = dict.fromkeys(("toe_outside", "camber_outside", "toe_steps", "camber_steps"), 0) | {
        "pairs": 1,
        "distance": 0.0,
    }
    plan = {"left": left, "right": None, "predicted": predicted, "axle": axle, **judged, "chance": 0.9}
    return {"plan": plan, "input": asked, "tables": {"demo-54": row["table"]}, "advice": [], "recommended": True}


def ring_sets_of(phone):
    """What GET /api/ring-sets says, each with its parsed table."""
    listed = phone.client.get("/api/ring-sets").json["ring_sets"]
    return [each | {"parsed": phone.client.get(f"/api/tables/{each['table']}").json} for each in listed]


def finished_job(phone, ring_sets, pair, miss=(0, 0), base=(-1640, 420), job=None, repeats=0):
    """Send a signed job whose left wheel got `pair` of demo-54; the check reading misses the plan by `miss` mdeg."""
    job = job or str(uuid.uuid4())
    body = plan_body(ring_sets, {"left": base, "right": (-1120, 60)}, pair)
    camber, toe = body["plan"]["predicted"]["left"]
    batch = [
        phone.entry(job, "job-opened", {"checklist": 1}),
        phone.entry(job, "field-set", {"value": "TM 12-345"}, "vehicle.registration"),
        phone.entry(job, "reading-taken", reading(*base), "base.left.1"),
        phone.entry(job, "plan-chosen", body, "round.1.plan"),
        phone.entry(job, "reading-taken", reading(camber + miss[0], toe + miss[1]), "round.1.check.left.1"),
    ]
    for number in range(repeats):
        turned = 20 if number % 2 else -20
        batch.append(
            phone.entry(job, "reading-taken", reading(-1120 + turned, 60 + turned), f"base.right.{number + 1}")
        )
    batch.append(phone.entry(job, "job-signed", {"covers": [entry["id"] for entry in batch]}))
    phone.sync(batch)
    return job
