"""How a static host serves the customers' pages: what it adds to them, in four hosts' own formats.

``_headers`` and ``.htaccess`` lie beside the pages, for hosts that read such files there; the
settings for nginx and Caddy belong into their own configuration.

References
----------
W3C Content Security Policy Level 3; RFC 6797 (Strict-Transport-Security); documentation of nginx
(add_header, error_page), Apache httpd 2.4 (Header, ErrorDocument, Options), Caddy 2 (header,
try_files, handle_errors): ``tests/endtoend/test_care_hosts.py`` asks all three. The ``_headers``
format as hosts of static pages document it (developers.cloudflare.com/pages/configuration/headers,
docs.netlify.com/manage/routing/headers, docs.sevalla.com/static-sites/headers): a path pattern,
then indented ``Name: value`` lines.
"""

from base64 import b64encode
from collections.abc import Mapping
from functools import cache
from hashlib import sha256

from markupsafe import Markup

from passport.documents import house


@cache
def style() -> str:
    """Read the style that all of the customer's pages have."""
    return (house.TEMPLATES / "care.css").read_text("utf-8")


@cache
def policy() -> str:
    """Allow a page its own style and nothing else; the page says so itself, and the host again."""
    hashed = b64encode(sha256(style().encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{hashed}'; img-src data:; base-uri 'none'; "
        "form-action 'none'"
    )


def headers() -> Mapping[str, str]:
    """Name what a host sends with every page."""
    return {
        "Content-Security-Policy": f"{policy()}; frame-ancestors 'none'",
        "X-Robots-Tag": "noindex, nofollow, noarchive",
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
        "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
        "Strict-Transport-Security": "max-age=31536000",
        "Cache-Control": "private, max-age=3600",
    }


def not_found_html() -> str:
    """Write what every address shows that is none: withdrawn, mistyped, or never given."""
    return house.page("care404.html", css=Markup(style()), policy=Markup(policy()))


def files() -> Mapping[str, str]:
    """Write the files that lie beside the pages."""
    return {"404.html": not_found_html(), "_headers": _headers_file(), ".htaccess": _htaccess()}


def nginx() -> str:
    """Write the lines for a ``server`` of nginx."""
    sent = "\n".join(f'add_header {name} "{value}" always;' for name, value in headers().items())
    return f"""{sent}
charset utf-8;
autoindex off;
error_page 403 404 /404.html;
location = /404.html {{ internal; }}
location / {{ try_files $uri $uri/index.html =404; }}
"""


def caddy() -> str:
    """Write the lines for a site of Caddy."""
    sent = "\n".join(f'\t{name} "{value}"' for name, value in headers().items())
    return f"""header {{
{sent}
}}
try_files {{path}} {{path}}/index.html
file_server
handle_errors {{
\trewrite * /404.html
\tfile_server
}}
"""


SERVERS = {"nginx": nginx, "caddy": caddy}


def _headers_file() -> str:
    return "/*\n" + "".join(f"  {name}: {value}\n" for name, value in headers().items())


def _htaccess() -> str:
    sent = "\n".join(f'  Header always set {name} "{value}"' for name, value in headers().items())
    return f"""ErrorDocument 403 /404.html
ErrorDocument 404 /404.html
Options -Indexes -MultiViews
AddDefaultCharset utf-8
<IfModule mod_headers.c>
{sent}
</IfModule>
"""
