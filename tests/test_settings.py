"""Settings: the operator's table says what the service takes, and a name that is not in it stops the start."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from kettlewright import gunicorn_conf
from kettlewright.app import create_app
from kettlewright.keys import BadKeyFile
from kettlewright.settings import SETTINGS, BadSetting, Settings, check_addresses, read_settings

PAGE = Path(__file__).parents[1] / "docker" / "README.md"
ROWS = {name: (default, span, meaning) for name, default, span, meaning in re.findall(
    r"^\| `(KETTLEWRIGHT_[A-Z_]+)` \| ([^|]*) \| ([^|]*) \| ([^|]*) \|$", PAGE.read_text(encoding="utf-8"),
    re.MULTILINE)}
NUMBERS = {name: [int(one.replace(",", "")) for one in span.split(" to ")] for name, (_, span, _) in ROWS.items()
           if re.fullmatch(r"[0-9,]+ to [0-9,]+", span)}


def _in_words(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:,}" if isinstance(value, int) else str(value or "none")


def test_the_table_of_the_page_has_every_setting_with_its_default_and_range() -> None:
    assert list(ROWS) == [setting.name for setting in SETTINGS]
    assert {setting.field for setting in SETTINGS} == set(Settings.__dataclass_fields__)
    for setting in SETTINGS:
        default, span, meaning = ROWS[setting.name]
        assert (default, span) == (_in_words(getattr(Settings(), setting.field)), setting.span)
        assert len(meaning) > 5


@pytest.mark.parametrize("name", NUMBERS)
def test_both_ends_of_a_range_of_the_page_are_taken_and_one_beyond_is_not(name: str) -> None:
    low, high = NUMBERS[name]
    field = name.removeprefix("KETTLEWRIGHT_").lower()
    for value in (low, high):
        assert getattr(read_settings({name: str(value)}), field) == value
    for value in (low - 1, high + 1):
        with pytest.raises(BadSetting, match=f"{name} is '{value}'; it must be a whole number from {low} to {high}"):
            read_settings({name: str(value)})


def test_five_settings_of_the_page_are_numbers() -> None:
    assert len(NUMBERS) == 5


@pytest.mark.parametrize(("listen", "right"), [
    ("127.0.0.1:1", True), ("0.0.0.0:65535", True), ("[::1]:8000", True), ("localhost:8000", True),
    ("127.0.0.1:0", False), ("127.0.0.1:65536", False), ("0.0.0.0:99999", False), ("::1:8000", False), ("[::1]", False),
    (":8000", False), ("a:b:80", False), ("127.0.0.1:８０", False), ("", False)])
def test_a_port_is_from_1_to_65535(listen: str, right: bool) -> None:
    # RFC 6335, section 6: ports have 16 bits, and 0 is reserved
    given = {"KETTLEWRIGHT_LISTEN": listen}
    if right:
        assert read_settings(given).listen == listen
    else:
        with pytest.raises(BadSetting, match="KETTLEWRIGHT_LISTEN is "):
            read_settings(given)


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.field)
def test_a_misspelt_name_stops_the_start_and_the_right_one_is_named(setting: object) -> None:
    name = setting.name
    start = len("KETTLEWRIGHT_")
    wrong = [name[:at] + name[at + 1:] for at in range(start, len(name))] + [name + "S", name.lower(), name + "_"]
    for one in wrong:
        with pytest.raises(BadSetting, match=rf"^{one} is not a setting; did you mean {name}\?"):
            read_settings({one: "1"})


def test_a_name_that_resembles_none_gets_the_list() -> None:
    with pytest.raises(BadSetting) as caught:
        read_settings({"KETTLEWRIGHT_XYZZY": "1"})
    assert all(name in str(caught.value) for name in ROWS)
    assert read_settings({"OTHER_WORKERS": "x", "KETTLEWRIGHTLY": "y"}) == Settings()


def test_variables_of_kubernetes_and_of_the_client_are_left_alone() -> None:
    # Kubernetes, Service, "Environment variables": what a pod finds for a Service named kettlewright, and one named
    # kettlewright-maths
    for stem in ("KETTLEWRIGHT", "KETTLEWRIGHT_MATHS"):
        injected = {f"{stem}_SERVICE_HOST": "10.0.0.11", f"{stem}_SERVICE_PORT": "8000",
                    f"{stem}_SERVICE_PORT_HTTP": "8000", f"{stem}_PORT": "tcp://10.0.0.11:8000",
                    f"{stem}_PORT_8000_TCP": "tcp://10.0.0.11:8000",
                    f"{stem}_PORT_8000_TCP_PROTO": "tcp", f"{stem}_PORT_8000_TCP_PORT": "8000",
                    f"{stem}_PORT_8000_TCP_ADDR": "10.0.0.11"}
        assert read_settings(injected) == Settings()
    assert read_settings({"KETTLEWRIGHT_URL": "http://127.0.0.1:8000", "KETTLEWRIGHT_KEY": "x"}) == Settings()
    with pytest.raises(BadSetting, match="KETTLEWRIGHT_PORT is not a setting"):
        read_settings({"KETTLEWRIGHT_PORT": "8000"})


def test_the_server_does_not_start_with_a_misspelt_setting() -> None:
    done = subprocess.run([sys.executable, "-m", "gunicorn", "--check-config", "--config",
                           "python:kettlewright.gunicorn_conf", "kettlewright.app:create_app()"],
                          env={"KETTLEWRIGHT_WORKER": "3"}, capture_output=True, text=True, timeout=60)
    assert done.returncode != 0
    assert "KETTLEWRIGHT_WORKER is not a setting; did you mean KETTLEWRIGHT_WORKERS?" in done.stderr


@pytest.mark.parametrize("address", [
    ("127.0.0.1", 8000), ("127.8.9.1", 80), ("localhost", 8000), ("::1", 8000, 0, 0), "/run/service.sock"])
def test_the_loopback_needs_no_keys(address: object) -> None:
    # RFC 1122, 3.2.1.3: all of 127/8 is the loopback; RFC 4291, 2.5.3: ::1
    check_addresses([address], Settings())


@pytest.mark.parametrize("address", [
    ("0.0.0.0", 8000), ("", 8000), ("192.0.2.1", 8000), ("10.0.0.1", 8000), ("::", 8000), ("2001:db8::1", 8000),
    ("128.0.0.1", 80), ("maths.example", 8000), ("localhost.example", 8000), ("127.0.0.1.example", 80), 3])
def test_beyond_the_loopback_the_service_needs_keys_or_the_word_of_its_operator(address: object) -> None:
    for addresses in ([address], [("127.0.0.1", 8000), address]):
        with pytest.raises(BadSetting, match="KETTLEWRIGHT_KEY_FILE; or KETTLEWRIGHT_OPEN=yes"):
            check_addresses(addresses, Settings())
        check_addresses(addresses, Settings(key_file="/keys/keys.csv"))
        check_addresses(addresses, Settings(open=True))


def test_the_server_does_not_start_beyond_the_loopback_without_keys_nor_with_a_broken_key_file(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def start(address: tuple[str, int], settings: Settings) -> None:
        monkeypatch.setattr(gunicorn_conf, "_settings", settings)
        gunicorn_conf.on_starting(SimpleNamespace(address=[address]))

    with pytest.raises(SystemExit, match=r"Error: The service would listen on 0\.0\.0\.0:8000 without keys"):
        start(("0.0.0.0", 8000), Settings())
    path = tmp_path / "keys.csv"
    for content in (None, "", "not the header\n"):
        if content is not None:
            path.write_text(content, encoding="utf-8")
        with pytest.raises(SystemExit, match=f"Error: {path}"):
            start(("127.0.0.1", 8000), Settings(key_file=str(path), open=True))
        with pytest.raises(BadKeyFile):
            create_app(Settings(key_file=str(path)))


def test_what_the_server_really_listens_on_decides(tmp_path: Path) -> None:
    """Not only the setting: gunicorn's own --bind overrides it."""
    done = subprocess.run([sys.executable, "-m", "gunicorn", "--config", "python:kettlewright.gunicorn_conf", "--bind",
                           "0.0.0.0:1", "kettlewright.app:create_app()"], env={}, capture_output=True, text=True,
                          timeout=60, check=False)
    assert done.returncode == 1
    assert "The service would listen on 0.0.0.0:1 without keys" in done.stderr


@pytest.mark.parametrize("text", ["", "keys.csv", "./keys.csv", "~/keys.csv", "C:\\keys.csv"])
def test_a_key_file_is_an_absolute_path(text: str) -> None:
    with pytest.raises(BadSetting, match="KETTLEWRIGHT_KEY_FILE is "):
        read_settings({"KETTLEWRIGHT_KEY_FILE": text})
    assert read_settings({"KETTLEWRIGHT_KEY_FILE": "/keys/keys.csv"}).key_file == "/keys/keys.csv"


def test_the_image_says_that_it_listens_to_all_and_no_setting_is_one_letter_from_the_variable_of_the_client() -> None:
    dockerfile = (PAGE.parent / "Dockerfile").read_text(encoding="utf-8")
    variables = dict(re.findall(r"(KETTLEWRIGHT_[A-Z]+)=(\S+)", dockerfile))
    assert variables == {"KETTLEWRIGHT_LISTEN": "0.0.0.0:8000", "KETTLEWRIGHT_OPEN": "yes"}
    settings = read_settings(variables)
    check_addresses([("0.0.0.0", 8000)], settings)
    # KETTLEWRIGHT_KEY is the client's, and is left alone: a slip of one letter would leave the service open
    assert all(len(setting.name) > len("KETTLEWRIGHT_KEY") + 1 for setting in SETTINGS
               if setting.name.startswith("KETTLEWRIGHT_KEY"))
