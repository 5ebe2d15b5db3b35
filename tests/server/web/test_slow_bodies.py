"""What is said of a body that the listener has not read; with real connections that stall: test_listener_live.py."""

import pytest

from server.web.slow_bodies import NO_ROOM, TOO_MANY, TOO_SLOW, UNREAD
from tests.server.phones import problem


@pytest.mark.parametrize(("reason", "status"), [(TOO_MANY, 429), (TOO_SLOW, 408), (NO_ROOM, 507)])
def test_why_a_body_was_not_read_is_said_in_the_shops_words(phone, reason, status):
    headers = {"X-CSRFToken": phone.token()}
    answer = phone.client.post("/api/entries", json={}, headers=headers, environ_base={UNREAD: reason})
    assert (answer.status_code, problem(answer)) == (status, reason)
    assert "Send it again" in answer.text or "send it again" in answer.text


def test_a_header_says_nothing_of_the_kind(phone):
    answer = phone.client.post(
        "/api/entries", json={}, headers={"X-CSRFToken": phone.token(), "Tapermark.Unread": TOO_MANY}
    )
    assert problem(answer) == "wrong-request"
