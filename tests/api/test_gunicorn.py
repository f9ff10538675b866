"""What a sender sees of a real gunicorn: broken requests, hosts, other sites' pages, the log, many wrong bodies."""

from __future__ import annotations

import datetime
import json
import re
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from api.bodies import LYE
from api.gunicorn import Running, running

BODY = json.dumps(LYE).encode()
LINK = b"/v1/lye?fat=olive,mass:700&superfat_pct=5&alkali=NaOH&water=water_to_alkali:2"
SHOP = "https://soap.example"

BROKEN_APP = """
from kettlewright.app import create_app
from kettlewright.api.endpoints import lye

def broken(recipe, *_, **__):
    raise RuntimeError(f"secret of the house: {recipe}")

def make():
    app = create_app()
    lye.plan.plan_lye = broken
    return app
"""


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    with running(tmp_path_factory.mktemp("gunicorn"), cors_origins=SHOP, hosts="maths.example") as found:
        yield found


def get(path: bytes, *headers: bytes, host: bytes = b"localhost") -> bytes:
    return b"\r\n".join([b"GET " + path + b" HTTP/1.1", b"Host: " + host, b"Connection: close", *headers, b"", b""])


def post(body: bytes, *headers: bytes) -> bytes:
    return b"\r\n".join([b"POST /v1/lye HTTP/1.1", b"Host: localhost", b"Content-Type: application/json", *headers, b"",
                         body])


def problem(answer: tuple[int, dict[str, str], bytes], status: int) -> dict[str, Any]:
    assert answer[0] == status, answer
    assert answer[1]["content-type"] == "application/problem+json"
    found: dict[str, Any] = json.loads(answer[2])
    return found


def chunked(*chunks: bytes, end: bytes = b"0\r\n\r\n") -> bytes:
    return b"".join(b"%x\r\n%s\r\n" % (len(chunk), chunk) for chunk in chunks) + end


def test_a_whole_body_is_answered_in_one_piece_or_in_chunks(service: Running) -> None:
    assert service.send(post(BODY, b"Content-Length: %d" % len(BODY)))[0] == 200
    assert service.send(post(chunked(BODY[:50], BODY[50:]), b"Transfer-Encoding: chunked"))[0] == 200


@pytest.mark.parametrize("body", [
    b"zz\r\n" + BODY + b"\r\n0\r\n\r\n", b"\r\n" + BODY, b"-5\r\nabcde\r\n0\r\n\r\n", b"5;=\r\nabcde\r\n0\r\n\r\n",
    b"ffffffff\r\n" + BODY, b"%x\r\n%sXX0\r\n\r\n" % (len(BODY), BODY), chunked(BODY, end=b""),
    chunked(BODY, end=b"0\r\nno trailer"), chunked(BODY, end=b"0"), BODY],
    ids=["no number", "no size", "below 0", "bad extension", "longer than sent", "no line end", "no last chunk",
         "broken trailer", "cut last chunk", "no chunks"])
def test_a_broken_chunked_body_is_unreadable(service: Running, body: bytes) -> None:
    refusal = problem(service.send(post(body, b"Transfer-Encoding: chunked"), close=True), 400)
    assert "chunks are broken" in refusal["detail"]


@pytest.mark.parametrize("body", [BODY, BODY[:40], b""], ids=["whole JSON", "cut JSON", "nothing"])
def test_a_body_shorter_than_its_length_is_unreadable(service: Running, body: bytes) -> None:
    refusal = problem(service.send(post(body, b"Content-Length: %d" % (len(BODY) + 7)), close=True), 400)
    assert "shorter than its Content-Length" in refusal["detail"]


def test_a_request_without_host_is_refused(service: Running) -> None:
    for host in (b"", b"Host:\r\n", b"Host: \r\n", b"Host: a b\r\n", b"Host: [::1\r\n", b"Host: local/host\r\n",
                 b"Host: localhost:x\r\n", b"Host: a@b\r\n"):
        answer = service.send(b"GET /v1/fats HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n")
        assert answer[0] == 400, (host, answer)
        assert b"olive" not in answer[2]
    twice = service.send(b"GET /v1/fats HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\nConnection: close\r\n\r\n")
    assert twice[0] == 400
    assert service.send(b"GET /healthz HTTP/1.0\r\n\r\n")[0] == 200


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "127.0.0.1.evil.example", "localhost.evil.example",
                                  "maths.example.evil.example", "xmaths.example", "EVIL.EXAMPLE", "evil.example.",
                                  "1.2.3", "0x7f.0.0.1"])
def test_a_name_that_an_attacker_lets_point_here_reads_nothing(service: Running, host: str) -> None:
    """DNS rebinding: the browser sends the attacker's name, whatever address it resolves to."""
    for request in (get(b"/v1/fats", host=host.encode()), get(LINK, host=host.encode()),
                    post(BODY, b"Content-Length: %d" % len(BODY)).replace(b"localhost", host.encode()),
                    get(b"/v1/fats", host=host.encode()).replace(b"GET", b"OPTIONS")):
        refusal = problem(service.send(request), 421)
        assert "KETTLEWRIGHT_HOSTS" in refusal["detail"]
        assert refusal["errors"] == []
    absolute = get(f"http://{host}/v1/fats".encode())
    assert service.send(absolute)[0] in (400, 421)


@pytest.mark.parametrize("host", ["localhost", "localhost:8000", "127.0.0.1:8000", "[::1]:8000", "192.0.2.7", "service",
                                  "kettlewright:8000", "maths.example", "Maths.Example:443", "maths.example."])
def test_the_names_it_is_reached_by_are_accepted(service: Running, host: str) -> None:
    assert service.send(get(b"/healthz", host=host.encode()))[0] == 200


@pytest.mark.parametrize(("mode", "dest"), [("no-cors", "image"), ("no-cors", "script"), ("no-cors", "style"),
                                            ("cors", "empty"), ("navigate", "iframe"), ("navigate", "embed"),
                                            ("navigate", "object"), ("no-cors", "")])
def test_what_another_site_makes_a_browser_ask_is_refused(service: Running, mode: str, dest: str) -> None:
    sent = [b"Sec-Fetch-Site: cross-site", f"Sec-Fetch-Mode: {mode}".encode(), f"Sec-Fetch-Dest: {dest}".encode()]
    for more in ([], [b"Origin: https://other.example"], [b"Referer: https://other.example/"], [b"Origin: null"],
                 [b"Origin: https://other.example", b"Referer: https://soap.example/"]):
        assert "another site" in problem(service.send(get(LINK, *sent, *more)), 403)["detail"]
    for leave in (b"Origin: https://soap.example", b"Referer: https://soap.example/plan?a=1"):
        assert service.send(get(LINK, *sent, leave))[0] == 200


def test_a_link_that_is_followed_works_and_a_form_that_is_sent_does_not(service: Running) -> None:
    sent = [b"Sec-Fetch-Site: cross-site", b"Sec-Fetch-Mode: navigate", b"Sec-Fetch-Dest: document"]
    assert service.send(get(LINK, *sent))[0] == 200
    assert service.send(get(LINK, *sent).replace(b"GET", b"HEAD"))[0] == 200
    problem(service.send(post(BODY, b"Content-Length: %d" % len(BODY), *sent)), 403)
    for site in (b"same-origin", b"same-site", b"none"):
        assert service.send(get(LINK, b"Sec-Fetch-Site: " + site, b"Sec-Fetch-Mode: no-cors"))[0] == 200


def test_a_page_may_ask_whether_it_may_post(service: Running) -> None:
    request = get(b"/v1/lye", b"Origin: https://soap.example", b"Access-Control-Request-Method: POST",
                  b"Sec-Fetch-Site: cross-site", b"Sec-Fetch-Mode: cors").replace(b"GET", b"OPTIONS")
    status, headers, _ = service.send(request)
    assert (status, headers["access-control-allow-origin"]) == (204, SHOP)


PATHS = [b"/v1/%0ax", b"/v1/%00", b"/v1/%1b%5b31m", b"/v1/a\\b", b"/v1/%5c%22", b'/v1/"x"', b"/v1/%0d%0a{}",
         b"/v1/lye%3Ffat=secret", b"/" + b"x" * 1500, b"/v1/%u2028", b"/v1/'x'", b"/v1/%e2%80%a8"]


def test_no_path_breaks_a_line_of_the_log(service: Running) -> None:
    for number, path in enumerate(PATHS):
        service.send(get(path + b"?fat=secret,mass:700", b"X-Request-ID: path-%d" % number,
                         b"Referer: http://localhost/?fat=secret", b"User-Agent: secret\\"))
    for number, path in enumerate(PATHS):
        line = service.wait_for(f"path-{number}")
        assert re.fullmatch(r"/[A-Za-z0-9/_.~%:@!$&()*+,;=-]*", line["path"]), line
        assert len(line["path"]) <= 200
        assert line["path"][:8] == path.decode().replace("\\", "%5C").replace('"', "%22").replace("'", "%27")[:8]
    text = service.log.read_text(encoding="utf-8")
    assert text.isascii()
    assert all(character.isprintable() for line in text.split("\n") for character in line)
    assert "secret,mass" not in text
    assert "\\" not in text


def test_what_the_server_itself_cannot_read_is_logged_without_its_words(service: Running) -> None:
    for sent in (b"GET /v1/lye?fat=secret-recipe bad HTTP/1.1\r\nHost: localhost\r\n\r\n",
                 b"GET /v1/lye HTTP/1.1\r\nHost: localhost\r\nX y: secret-recipe\r\n\r\n",
                 b"GE\\T'secret-recipe /v1/lye HTTP/1.1\r\nHost: localhost\r\n\r\n",
                 b"secret-recipe\r\n\r\n", b"POST /v1/lye HTTP/1.1\r\nHost: localhost\r\n"
                 b"Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\nsecret-recipe\r\n",
                 b"POST /v1/fats HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nsecret-recipe\r\n"):
        assert service.send(sent, close=True)[0] in (400, 405)
    assert "secret-recipe" not in service.log.read_text(encoding="utf-8")
    assert service.lines()


def test_each_line_has_a_time_of_iso_8601_and_each_request_its_id(service: Running) -> None:
    status, headers, _ = service.send(get(b"/v1/fats"))
    line = service.wait_for(headers["x-request-id"])
    assert (line["method"], line["path"], line["status"], line["level"]) == ("GET", "/v1/fats", status, "INFO")
    assert 0 < line["milliseconds"] < 60_000
    for one in service.lines():
        when = datetime.datetime.fromisoformat(one["time"])
        assert when.utcoffset() == datetime.timedelta(0)
        assert {"level", "logger", "message", "time"} <= one.keys()


def test_a_line_of_the_access_log_says_what_a_report_needs_and_nothing_more(service: Running) -> None:
    trace = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
    request = post(BODY, b"Content-Length: %d" % len(BODY), b"X-Request-ID: fields-1", f"traceparent: {trace}".encode())
    status, headers, body = service.send(request)
    line = service.wait_for("fields-1")
    assert set(line) == {"level", "logger", "message", "time", "request_id", "traceparent", "key_name", "method",
                         "path", "operation", "status", "milliseconds", "cpu_milliseconds", "request_bytes",
                         "reply_bytes"}
    assert {name: line[name] for name in ("traceparent", "key_name", "method", "path", "operation", "status")} == {
        "traceparent": trace, "key_name": None, "method": "POST", "path": "/v1/lye", "operation": "lye",
        "status": status}
    assert (line["request_bytes"], line["reply_bytes"]) == (len(BODY), len(body))
    assert 0 < line["cpu_milliseconds"] < 1000
    assert headers["traceparent"] == trace
    service.send(get(b"/v1/nothing", b"X-Request-ID: fields-2", b"traceparent: olive 700 g"))
    line = service.wait_for("fields-2")
    assert (line["traceparent"], line["operation"], line["request_bytes"]) == (None, None, 0)
    service.send(post(chunked(BODY[:50], BODY[50:]), b"Transfer-Encoding: chunked", b"X-Request-ID: fields-3"))
    assert service.wait_for("fields-3")["request_bytes"] == len(BODY)


def test_probes_are_not_logged_unless_a_setting_says_so(service: Running, tmp_path: Path) -> None:
    service.send(get(b"/healthz", b"X-Request-ID: probe-1"))
    service.send(get(b"/healthz", b"X-Request-ID: probe-2", host=b"evil.example"))
    service.send(get(b"/version", b"X-Request-ID: probe-3"))
    service.wait_for("probe-3")
    assert service.wait_for("probe-2")["status"] == 421  # one that fails is
    assert "probe-1" not in service.log.read_text(encoding="utf-8")
    with running(tmp_path, log_probes="yes", workers="1") as other:
        other.send(get(b"/healthz", b"X-Request-ID: probe-4"))
        assert other.wait_for("probe-4")["path"] == "/healthz"


def test_a_failure_has_one_id_in_the_problem_and_in_both_records(tmp_path: Path) -> None:
    (tmp_path / "broken_app.py").write_text(BROKEN_APP, encoding="utf-8")
    with running(tmp_path, "broken_app:make()", workers="1") as service:
        answer = service.send(post(BODY, b"Content-Length: %d" % len(BODY)))
        refusal = problem(answer, 500)
        assert refusal["request_id"] == answer[1]["x-request-id"]
        assert service.wait_for(refusal["request_id"])["status"] == 500
        errors = [line for line in service.lines() if line["level"] == "ERROR"]
        assert [line["request_id"] for line in errors] == [refusal["request_id"]]
        assert "RuntimeError" in errors[0]["exc_info"]
        assert "broken_app.py:6 broken" in errors[0]["exc_info"]
        assert "secret" not in service.log.read_text(encoding="utf-8")


def test_what_needs_no_caching_is_not_stored(service: Running) -> None:
    for path in (b"/healthz", b"/readyz", b"/version"):
        headers = service.send(get(path))[1]
        assert headers["cache-control"] == "no-store"
        assert "etag" not in headers


def test_64_wrong_bodies_at_once_lose_nothing_in_512_mb(tmp_path: Path) -> None:
    body = json.dumps({f"{number:x}": 1 for number in range(24_000)}).encode()
    assert 250_000 < len(body) <= 262_144
    request, answers = post(body, b"Content-Length: %d" % len(body), b"Connection: close"), []
    with running(tmp_path) as service:
        threads = [threading.Thread(target=lambda: answers.append(service.send(request))) for _ in range(64)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert [status for status, _, _ in answers] == [422] * 64
        assert max(len(text) for _, _, text in answers) < 65_536
        assert service.send(get(b"/openapi.json"))[0] == 200  # the child that builds it has ended then
        assert service.memory_kb() < 512 * 1024
        assert service.send(get(b"/readyz"))[0] == 200
        print(f"most memory of all processes: {service.memory_kb() // 1024} MB")
