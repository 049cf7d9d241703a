"""The customers' pages, served by real web servers with the settings that come with the pages.

Debian's ``nginx-light``, ``apache2-bin`` and ``caddy``, as ``passport/install dev`` brings them;
one that is not installed is skipped with a notice. What each is asked stands in its documentation:
nginx.org, ngx_http_headers_module (``always``: whatever the status) and ngx_http_core_module
(``error_page``, ``try_files``);
httpd.apache.org 2.4, mod_headers (condition ``always``) and core (``ErrorDocument``, ``Options``);
caddyserver.com 2, directives ``header``, ``try_files``, ``handle_errors`` (headers set before an
error stay).
"""

import http.client
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlsplit

import pytest

from forms.numbers import CareToken
from passport.documents import hosting
from passport.documents.care import write_care

KEPT, WITHDRAWN = CareToken("7ZK2M04QX9RJ1B5T"), CareToken("0123456789ABCDEF")
PAGE = "<!DOCTYPE html><title>Care</title><p>Größe</p>"
MODULES = "/usr/lib/apache2/modules/mod_"
NONE = {
    "withdrawn": f"/T/{WITHDRAWN.code}",
    "never given": "/T/0000000000000000",
    "mistyped": f"/T/{KEPT.code.lower()}/",
    "below a page": f"/T/{KEPT.code}/photo",
    "elsewhere": "/nothing.html",
}


class Answer(NamedTuple):
    status: int
    headers: dict[str, str]
    body: str


class Host(NamedTuple):
    """A web server at work."""

    name: str
    port: int

    def get(self, path: str) -> Answer:
        """Ask for a path, and go where the answer leads."""
        with closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)) as line:
            line.request("GET", path, headers={"Host": f"127.0.0.1:{self.port}"})
            answer = line.getresponse()
            body, headers = answer.read().decode(), dict(answer.getheaders())
        if answer.status in {301, 302, 307, 308}:
            return self.get(urlsplit(headers["Location"]).path)
        return Answer(answer.status, headers, body)


def nginx(folder: Path, port: int) -> tuple[str, list[str]]:
    places = "\n".join(
        f"{one}_temp_path {folder}/{one};"
        for one in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    )
    text = f"""daemon off; pid {folder}/pid; error_log stderr; user root; events {{}}
http {{
{places}
access_log off; types {{ text/html html; }}
server {{ listen 127.0.0.1:{port}; root {folder}/care;
{hosting.nginx()}
}} }}"""
    return text, ["nginx", "-p", str(folder), "-c", str(folder / "settings")]


def apache(folder: Path, port: int) -> tuple[str, list[str]]:
    modules = ("mpm_event", "authz_core", "dir", "headers", "mime", "autoindex", "negotiation")
    loaded = "\n".join(f"LoadModule {one}_module {MODULES}{one}.so" for one in modules)
    text = f"""{loaded}
ServerName 127.0.0.1
Listen 127.0.0.1:{port}
PidFile {folder}/pid
ErrorLog /dev/stderr
User nobody
Group nogroup
TypesConfig /dev/null
AddType text/html .html
DocumentRoot {folder}/care
<Directory {folder}/care>
Options Indexes MultiViews
AllowOverride All
Require all granted
</Directory>
"""
    return text, ["apache2", "-D", "FOREGROUND", "-f", str(folder / "settings")]


def caddy(folder: Path, port: int) -> tuple[str, list[str]]:
    inner = "\n".join("\t" + line for line in hosting.caddy().splitlines())
    text = f"{{\n\tadmin off\n}}\nhttp://127.0.0.1:{port} {{\n\troot * {folder}/care\n{inner}\n}}\n"
    words = ["caddy", "run", "--adapter", "caddyfile", "--config", str(folder / "settings")]
    return text, words


SERVERS: dict[str, Callable[[Path, int], tuple[str, list[str]]]] = {
    "nginx": nginx,
    "apache2": apache,
    "caddy": caddy,
}


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def answers(port: int, process: "subprocess.Popen[bytes]") -> bool:
    for _ in range(200):
        with suppress(OSError), closing(socket.create_connection(("127.0.0.1", port), 1)):
            return True
        if process.poll() is not None:
            return False
        time.sleep(0.05)
    return False


@pytest.fixture(scope="module", params=list(SERVERS))
def host(request: pytest.FixtureRequest) -> Iterator[Host]:
    program = shutil.which(request.param, path="/usr/sbin:/usr/bin:/usr/local/bin")
    if program is None:
        pytest.skip(f"{request.param} is not installed: its settings were not tried")
    with tempfile.TemporaryDirectory() as name:
        folder, port = Path(name), free_port()
        folder.chmod(0o755)  # servers put aside what root may do
        write_care(folder / "care", [(KEPT, PAGE), (WITHDRAWN, PAGE)])
        write_care(folder / "care", [(KEPT, PAGE)])
        text, words = SERVERS[request.param](folder, port)
        (folder / "settings").write_text(text)
        where = {"HOME": name, "XDG_DATA_HOME": name, "XDG_CONFIG_HOME": name}
        with subprocess.Popen([program, *words[1:]], env=where) as process:
            assert answers(port, process)
            yield Host(request.param, port)
            process.terminate()


@pytest.mark.parametrize("path", [f"/T/{KEPT.code}", f"/T/{KEPT.code}/"])
def test_a_page_is_sent_with_every_header(host: Host, path: str):
    answer = host.get(path)

    assert (answer.status, answer.body) == (200, PAGE)
    assert answer.headers["Content-Type"].lower() == "text/html; charset=utf-8"
    assert hosting.headers().items() <= answer.headers.items()


@pytest.mark.parametrize("path", NONE.values(), ids=list(NONE))
def test_every_other_address_looks_the_same(host: Host, path: str):
    answer, known = host.get(path), host.get("/nothing")

    assert (answer.status, answer.body) == (404, hosting.not_found_html())
    assert set(answer.headers) == set(known.headers)
    assert hosting.headers().items() <= answer.headers.items()


@pytest.mark.parametrize("path", ["/", "/T", "/T/"])
def test_no_folder_lists_what_lies_in_it(host: Host, path: str):
    answer = host.get(path)

    assert KEPT.code not in answer.body
    assert answer.body in {"", hosting.not_found_html()}
