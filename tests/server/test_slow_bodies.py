"""How many bodies a sender may have on the way at once; with real connections that stall: test_environment.py."""

import io

import pytest

from server.errors import Problem
from server.limits import MOST_BODIES, MOST_BODIES_OF_STRANGERS
from server.slow_bodies import CountedBody, Senders

A_PHONE = {"a phone": MOST_BODIES}


@pytest.fixture
def senders():
    return Senders()


def bodies(senders, number):
    return [CountedBody(io.BytesIO(b"body"), senders, A_PHONE) for _ in range(number)]


def test_a_body_counts_from_its_first_read_until_its_request_ends(senders):
    read, unread, more = bodies(senders, MOST_BODIES), bodies(senders, 9), bodies(senders, MOST_BODIES)
    assert {body.read(2) + body.read(9) for body in read} == {b"body"}
    with pytest.raises(Problem, match=f"{MOST_BODIES} bodies on their way"):
        more[0].read(2)
    senders.enter({"another": MOST_BODIES})
    for body in read + unread:
        body.close()
    assert [body.read(9) for body in more] == [b"body"] * MOST_BODIES


def test_strangers_together_leave_threads_to_those_whom_the_shop_knows(senders):
    for number in range(MOST_BODIES_OF_STRANGERS):
        senders.enter({f"198.51.100.{number}": MOST_BODIES, "strangers": MOST_BODIES_OF_STRANGERS})
    for _ in range(2):
        with pytest.raises(Problem):
            senders.enter({"203.0.113.7": MOST_BODIES, "strangers": MOST_BODIES_OF_STRANGERS})
    senders.enter(A_PHONE)


def test_an_application_counts_each_request_once(far_phone, job):
    for _ in range(MOST_BODIES + 2):
        assert far_phone.post([far_phone.entry(job)]).status_code == 200
