"""The rules the suite puts on itself can catch what they forbid."""

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ELSEWHERE = "192.0.2.1"  # set aside for documentation by RFC 5737: nobody's address


def test_a_connection_to_another_machine_is_refused():
    with pytest.raises(RuntimeError, match="tests stay on this machine"):
        socket.create_connection((ELSEWHERE, 80), timeout=1)


def test_a_datagram_to_another_machine_is_refused():
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender, pytest.raises(RuntimeError, match=ELSEWHERE):
        sender.sendto(b"", (ELSEWHERE, 9))


def test_no_name_of_another_machine_is_looked_up():
    with pytest.raises(RuntimeError, match=r"cases\.example\.org"):
        socket.getaddrinfo("cases.example.org", 443)


def test_this_machine_can_be_reached():
    with socket.create_server(("127.0.0.1", 0)) as server, socket.create_connection(server.getsockname()[:2]) as client:
        assert client.getpeername() == server.getsockname()


@pytest.mark.parametrize(("in_ci", "code"), [("true", 1), ("", 0)])
def test_a_skipped_test_fails_the_run_in_continuous_integration_only(tmp_path, in_ci, code):
    (tmp_path / "test_one.py").write_text(
        "import pytest\n\ndef test_that_skips():\n    pytest.importorskip('a_module_nobody_has')\n"
    )
    outcome = subprocess.run(
        [sys.executable, "-m", "pytest", "-c", os.devnull, "-p", "tests.conftest", "-p", "no:django", tmp_path],
        cwd=ROOT,
        env=os.environ | {"CI": in_ci, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "1 skipped" in outcome.stdout
    assert outcome.returncode == code
