"""What every test shares: no traffic beyond this machine, and no silent skip in continuous integration."""

import ipaddress
import os
import sys

import pytest

CONNECTING = frozenset({"socket.connect", "socket.sendto"})


def is_this_machine(host):
    if host in (None, "", "localhost", b"localhost"):
        return True
    try:
        return ipaddress.ip_address(host.decode() if isinstance(host, bytes) else host).is_loopback
    except ValueError:
        return False


def refuse_other_machines(event, arguments):
    if event in CONNECTING and isinstance(arguments[1], tuple):  # a path instead of a tuple is a local socket
        host = arguments[1][0]
    elif event == "socket.getaddrinfo":
        host = arguments[0]
    else:
        return
    if not is_this_machine(host):
        raise RuntimeError(f"a test tried to reach {host!r}: tests stay on this machine")


sys.addaudithook(refuse_other_machines)  # for the whole run: nothing can take it off, collection included


def skipped_in_ci(config):
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    return bool(os.environ.get("CI") and reporter and reporter.stats.get("skipped"))


def pytest_terminal_summary(terminalreporter, config):
    if skipped_in_ci(config):
        terminalreporter.write_line("A skipped test is a failure here: make it run or remove it.", red=True)


def pytest_sessionfinish(session):
    if skipped_in_ci(session.config):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
