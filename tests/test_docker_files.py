"""Compose files and Kubernetes manifests: locked down alike, and what one file names is what another has."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
import yaml
from kettlewright.api.door.operations import LINES_TYPE, OPERATIONS
from kettlewright.app import create_app
from kettlewright.settings import SETTINGS, Settings
from siege import servers
from siege.servers import has_nginx
from siege.wire import exchange

DOCKER = Path(__file__).parents[1] / "docker"
MANIFESTS = {one["kind"]: one for one in yaml.safe_load_all(
    (DOCKER / "kubernetes" / "kettlewright.yaml").read_text(encoding="utf-8"))}
POD = MANIFESTS["Deployment"]["spec"]["template"]["spec"]
CONTAINER = POD["containers"][0]
COMPOSE = {name: yaml.safe_load((DOCKER / name).read_text(encoding="utf-8"))["services"]
           for name in ("compose.yaml", "compose.several.yaml")}
ALL = [(name, service, body) for name, services in COMPOSE.items() for service, body in services.items()]


@pytest.mark.parametrize(("file", "name", "body"), ALL, ids=[f"{file}-{name}" for file, name, _ in ALL])
def test_a_container_of_compose_is_locked_down(file: str, name: str, body: dict[str, Any]) -> None:
    assert body["read_only"] is True
    assert body["cap_drop"] == ["ALL"]
    assert body["security_opt"] == ["no-new-privileges:true"]
    assert {"mem_limit", "pids_limit", "restart"} <= set(body)
    for port in body.get("ports", ()):
        assert port.startswith("127.0.0.1:"), f"{file}: {name} is published beyond the loopback"


def test_both_compose_files_run_the_same_service() -> None:
    alone, several = COMPOSE["compose.yaml"]["service"], COMPOSE["compose.several.yaml"]["service"]
    # a published port would be taken by the first of several instances
    assert {**alone, "deploy": {"replicas": 3}} == {**several, "ports": alone["ports"]}
    assert "ports" not in several


def test_the_proxy_names_the_service_of_the_compose_file_and_listens_where_it_is_published() -> None:
    conf = (DOCKER / "proxy.conf").read_text(encoding="utf-8")
    assert re.findall(r"server (\w+):(\d+) ", conf) == [("service", "8000")]
    port = re.findall(r"listen (\d+);", conf)[0]
    assert COMPOSE["compose.several.yaml"]["proxy"]["ports"] == [f"127.0.0.1:8080:{port}"]


def test_the_proxy_sends_only_light_calculations_again() -> None:
    conf = (DOCKER / "proxy.conf").read_text(encoding="utf-8")
    create_app(Settings())  # registers the operations
    light = {found.path for found in OPERATIONS.values() if found.method == "POST" and not found.heavy}
    named = re.findall(r"location ~ \^/v1/\(([a-z|]+)\)\$ \{[^}]*"
                       r"proxy_next_upstream error timeout non_idempotent;", conf)
    assert [{f"/v1/{name}" for name in one.split("|")} for one in named] == [light]
    assert conf.count("non_idempotent;") == 1


def test_the_proxy_passes_lines_on_as_they_come_and_nothing_else() -> None:
    conf = (DOCKER / "proxy.conf").read_text(encoding="utf-8")
    create_app(Settings())
    assert {found.path for found in OPERATIONS.values() if found.many} == {"/v1/batches"}
    (by_type,) = re.findall(r"location = /v1/batches \{.*?\n        \}", conf, re.DOTALL)
    assert re.search(r'\$content_type ~ "\^' + LINES_TYPE + r' \*\(;\|\$\)"\) \{\s*return 418;', by_type)
    assert "error_page 418 = @lines;" in by_type
    (lines,) = re.findall(r"location @lines \{[^}]*\}", conf)
    for setting in ("proxy_request_buffering off;", "proxy_buffering off;", "proxy_next_upstream off;"):
        assert setting in lines
        assert conf.count(setting) == 1
    too_large = re.compile(re.findall(r'\$content_length ~ "([^"]+)"', by_type)[0])
    limit = Settings().max_body_bytes
    assert [size for size in (limit, limit + 1, 524_288, 530_000, 999_999, 1_000_000, 10 ** 12)
            if too_large.fullmatch(str(size))] == [530_000, 999_999, 1_000_000, 10 ** 12]


def test_the_proxy_sends_only_light_requests_again_after_a_time_without_a_reply() -> None:
    conf = (DOCKER / "proxy.conf").read_text(encoding="utf-8")
    create_app(Settings())
    locations = re.findall(r"location ~ (\S+) \{[^}]*proxy_next_upstream error timeout", conf)
    assert conf.count("error timeout") == len(locations) == 2
    for found in OPERATIONS.values():
        if found.group != "service":
            again = any(re.search(one, found.path) for one in locations)
            assert again is not found.heavy, found.path


def test_an_instance_has_time_to_finish_a_heavy_calculation_before_it_is_killed() -> None:
    graceful = Settings().heavy_seconds + 5  # of gunicorn
    waits = CONTAINER["lifecycle"]["preStop"]["exec"]["command"][-1]
    assert POD["terminationGracePeriodSeconds"] > graceful + int(re.findall(r"sleep\((\d+)\)", waits)[0])
    for services in COMPOSE.values():
        assert int(services["service"]["stop_grace_period"].removesuffix("s")) > graceful


def test_a_pod_is_locked_down_as_the_restricted_standard_wants() -> None:
    # Kubernetes, Pod Security Standards, "Restricted"
    assert POD["automountServiceAccountToken"] is False
    assert POD["enableServiceLinks"] is False
    assert POD["securityContext"]["runAsNonRoot"] is True
    assert POD["securityContext"]["seccompProfile"] == {"type": "RuntimeDefault"}
    assert CONTAINER["securityContext"] == {"allowPrivilegeEscalation": False, "readOnlyRootFilesystem": True,
                                            "capabilities": {"drop": ["ALL"]}}
    user = re.findall(r"(?m)^USER (\d+):(\d+)$", (DOCKER / "Dockerfile").read_text(encoding="utf-8"))
    assert user == [(str(POD["securityContext"]["runAsUser"]), str(POD["securityContext"]["runAsGroup"]))]


def test_probes_lead_to_the_addresses_that_the_service_has_for_them() -> None:
    assert CONTAINER["readinessProbe"]["httpGet"]["path"] == CONTAINER["startupProbe"]["httpGet"]["path"] == "/readyz"
    assert CONTAINER["livenessProbe"]["httpGet"]["path"] == "/healthz"
    assert {env["name"] for env in CONTAINER["env"]} <= {setting.name for setting in SETTINGS}


def test_manifests_select_the_pods_of_the_deployment_and_let_nothing_out() -> None:
    labels = MANIFESTS["Deployment"]["spec"]["template"]["metadata"]["labels"]
    policy = MANIFESTS["NetworkPolicy"]["spec"]
    assert set(MANIFESTS) == {"Deployment", "Service", "PodDisruptionBudget", "HorizontalPodAutoscaler",
                              "NetworkPolicy"}
    assert MANIFESTS["Service"]["spec"]["selector"] == labels
    for selector in (MANIFESTS["Deployment"]["spec"]["selector"], MANIFESTS["PodDisruptionBudget"]["spec"]["selector"],
                     policy["podSelector"]):
        assert selector == {"matchLabels": labels}
    assert (policy["policyTypes"], policy["egress"]) == (["Ingress", "Egress"], [])
    assert [rule["ports"] for rule in policy["ingress"]] == [[{"port": CONTAINER["ports"][0]["containerPort"]}]]
    scaled = MANIFESTS["HorizontalPodAutoscaler"]["spec"]
    assert scaled["scaleTargetRef"]["name"] == MANIFESTS["Deployment"]["metadata"]["name"]
    assert "replicas" not in MANIFESTS["Deployment"]["spec"]  # the autoscaler's; applying the file must not reset it
    assert scaled["minReplicas"] >= 2


def test_compose_and_kubernetes_have_the_same_limits() -> None:
    limits = CONTAINER["resources"]["limits"]
    service = COMPOSE["compose.yaml"]["service"]
    assert (service["mem_limit"], str(service["cpus"])) == (limits["memory"].removesuffix("i").lower(), limits["cpu"])


@contextmanager
def echo() -> Iterator[tuple[int, list[str]]]:
    """A server that answers every GET with 200, and the addresses that it was asked for."""
    seen: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            seen.append(self.path)
            self.send_response(200)
            self.send_header("Content-Length", "2")
            self.end_headers()
            self.wfile.write(b"{}")

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, args=(.02,))
    thread.start()
    try:
        yield server.server_address[1], seen
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def test_every_location_of_the_proxy_that_has_a_limit_for_addresses_has_one_for_keys() -> None:
    conf = (DOCKER / "proxy.conf").read_text(encoding="utf-8")
    locations = re.findall(r"location (.*?) \{(.*?)\n        \}", conf, re.DOTALL)
    limited = [name for name, body in locations if "limit_req zone=rate burst=60 nodelay;" in body]
    assert limited == [name for name, body in locations if "limit_req zone=keys burst=60 nodelay;" in body]
    assert "/" in limited
    assert not {"= /healthz", "= /readyz", "@too_many", "@no_reply"} & set(limited)
    assert "error_log /dev/stderr emerg;" in conf
    logged = set(re.findall(r"\$([a-z_0-9]+)", conf[conf.index("log_format"):conf.index("map ")]))
    assert logged == {"time_iso8601", "request_method", "logged_path", "status", "request_time", "upstream_status",
                      "upstream_response_time", "sent_request_id", "sent_traceparent"}, "no query, no header as it is"


if has_nginx():  # make siege runs it under load
    def test_nginx_limits_each_key_and_logs_neither_keys_nor_queries(tmp_path: Path,
                                                                     monkeypatch: pytest.MonkeyPatch) -> None:
        conf = (DOCKER / "proxy.conf").read_text(encoding="utf-8")
        for old, new in (("limit_req zone=rate burst=60 nodelay;", ""),  # here all requests come from one address
                         ("zone=keys burst=60 nodelay;", "zone=keys burst=5 nodelay;"),
                         ("zone=keys:4m rate=20r/s;", "zone=keys:4m rate=1r/s;")):  # so that a slow machine sees it too
            assert old in conf
            conf = conf.replace(old, new)
        (tmp_path / "proxy.conf").write_text(conf, encoding="utf-8")
        monkeypatch.setattr(servers, "CONF", tmp_path / "proxy.conf")
        key, other = f"kw_1a2b3c4d_{'A' * 43}", f"kw_1a2b3c4e_{'B' * 43}"

        def ask(target: str, key: str = "") -> int:
            head = f"GET {target} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n"
            return exchange(proxy.port, f"{head}{f'Authorization: Bearer {key}{chr(13)}{chr(10)}' if key else ''}\r\n"
                            .encode()).status

        with echo() as (port, seen), servers.proxy_before(tmp_path, [port]) as proxy:
            for target, sent in (("/v1/moulds?fat=olive", key), (f"/v1/moulds?fat=olive&key={key}", "")):
                statuses = [ask(target, sent) for _ in range(20)]
                assert statuses[:6] == [200] * 6  # one, and the burst of 5
                assert 429 in statuses
                assert ask(target.replace(key, other), other if sent else "") == 200
                assert ask("/healthz", sent) == 200
            assert [ask("/v1/moulds") for _ in range(20)] == [200] * 20  # without a key
            assert ask(f"/v1/moulds%3Ffat=olive&key={key}") == ask(f"/v1/{key}") == 200
            assert any(f"key={key}" in path for path in seen)  # it is passed on
        for name in ("access.log", "error.log"):
            text = (tmp_path / name).read_text(encoding="utf-8")
            assert "olive" not in text
            assert key not in text
            assert other not in text
        assert '"path":"/v1/moulds..."' in (tmp_path / "access.log").read_text(encoding="utf-8")
