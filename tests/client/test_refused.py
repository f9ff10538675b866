"""Another host name, or another site's page in a browser: `Refused`, with the words of the service."""

from __future__ import annotations

from pathlib import Path

import pytest
import requests
import yaml
from client.in_process import made, over
from kettlewright.app import create_app
from kettlewright.settings import Settings
from kettlewright_client import Refused

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(("status", "headers", "names"), [
    (421, {"Host": "maths.example"}, "KETTLEWRIGHT_HOSTS"),
    (403, {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, "KETTLEWRIGHT_CORS_ORIGINS")])
def test_a_refusal_of_the_service_has_its_own_exception(status: int, headers: dict[str, str], names: str) -> None:
    service = create_app().test_client()

    def answer(request: requests.PreparedRequest) -> requests.Response:
        reply = service.get(request.path_url, headers=headers)
        return made(request, reply.status_code, reply.data, dict(reply.headers))

    client, _ = over(answer)
    with pytest.raises(Refused, match=names) as caught:
        client.fats()
    assert caught.value.status == status
    assert caught.value.request_id


def test_a_named_host_is_let_in_once_the_operator_names_it() -> None:
    service = create_app(Settings(hosts=("maths.example",))).test_client()
    assert service.get("/v1/fats", headers={"Host": "maths.example"}).status_code == 200
    assert service.get("/v1/fats", headers={"Host": "other.example"}).status_code == 421


def test_the_compose_file_and_the_pages_name_the_setting_for_a_host() -> None:
    compose = yaml.safe_load((ROOT / "docker" / "compose.yaml").read_text(encoding="utf-8"))
    assert "KETTLEWRIGHT_HOSTS" in compose["services"]["service"]["environment"]
    for page in ("README.md", "docker/README.md", "docker/proxy.conf"):
        assert "KETTLEWRIGHT_HOSTS" in (ROOT / page).read_text(encoding="utf-8"), page
