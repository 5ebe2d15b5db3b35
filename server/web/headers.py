"""Security headers on every answer, by a WSGI layer outside of everything: static files never pass through Flask.

It sets what is missing and changes nothing else.
"""

from server.web.addresses import host_name, is_loopback

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "img-src 'self' blob:",
        "form-action 'self'",
        "base-uri 'none'",
        "object-src 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
        # serviceWorker.register takes a TrustedScriptURL; the phone makes it under this one name.
        "trusted-types tapermark",
    )
)

HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    # same-origin and not no-referrer: on HTTPS the token check of writes needs the Referer.
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "accelerometer=(self), camera=(self), gyroscope=(self), magnetometer=(self),"
    " screen-wake-lock=(self), geolocation=(), microphone=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}

# Only over HTTPS, and never for this machine's own names: it holds for every port of a name.
STRICT = {"Strict-Transport-Security": "max-age=31536000"}


class SecurityHeaders:
    """Wraps a WSGI application."""

    def __init__(self, application):
        self._application = application

    def __call__(self, environ, start_response):
        is_strict = environ["wsgi.url_scheme"] == "https" and not is_loopback(host_name(environ.get("HTTP_HOST", "")))
        wanted = HEADERS | (STRICT if is_strict else {})

        def start(status, headers, exc_info=None):
            present = {name.lower() for name, _ in headers}
            missing = [(name, text) for name, text in wanted.items() if name.lower() not in present]
            return start_response(status, [*headers, *missing], exc_info)

        return self._application(environ, start)
