"""The session's cookie: `__Host-` and Secure wherever the request came by HTTPS, a plain one on http.

Plain http is of use on loopback alone, and there WebKit drops a Secure cookie. It decides nothing but name and flag.
"""

from flask import Flask, request
from flask.sessions import SecureCookieSessionInterface

PLAIN_NAME = "tapermark"
HOST_NAME = f"__Host-{PLAIN_NAME}"


class Cookies(SecureCookieSessionInterface):
    def get_cookie_name(self, app: Flask) -> str:  # noqa: ARG002 the framework's own signature
        return HOST_NAME if request.is_secure else PLAIN_NAME

    def get_cookie_secure(self, app: Flask) -> bool:  # noqa: ARG002
        return request.is_secure

    def save_session(self, app: Flask, session, response) -> None:
        """Not on the worker's script, which is the same for everybody: whatever looked at the session meanwhile."""
        if request.endpoint != "shell.worker":
            super().save_session(app, session, response)
