#!/usr/bin/env python3
"""The drill in a real terminal (a pseudo-terminal): whatever ends it, the
terminal is left as it was found, the attempt is in the journal, and the
status says how it ended.

    terminal.py PROGRAM"""

import fcntl
import json
import os
import pathlib
import pty
import select
import signal
import struct
import sys
import tempfile
import termios
import time


class Drill:
    """A drill in a terminal of its own."""

    def __init__(self, program, columns, more=(), variables=None):
        self.folder = tempfile.mkdtemp(prefix="rejig-terminal-")
        self.journal = pathlib.Path(self.folder, "journal.jsonl")
        self.screen = b""
        parent, child = pty.openpty()
        fcntl.ioctl(child, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        self.before = termios.tcgetattr(child)
        environment = {
            "PATH": os.environ["PATH"],
            "LANG": "C.UTF-8",
            "TERM": "xterm-256color",
            **(variables or {}),
        }
        arguments = [program, "drill", "--topic", "motion", "--seed", "1", "--kind"]
        arguments += ["rearrangement", "--journal", str(self.journal), *more]
        self.pid = os.fork()
        if self.pid == 0:
            os.setsid()
            fcntl.ioctl(child, termios.TIOCSCTTY, 0)
            for number in (0, 1, 2):
                os.dup2(child, number)
            os.execvpe(program, arguments, environment)
        self.parent, self.child = parent, child

    def read(self, seconds):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if select.select([self.parent], [], [], 0.05)[0]:
                try:
                    self.screen += os.read(self.parent, 65536)
                except OSError:
                    return

    def wait_for(self, text, count=1):
        for _ in range(600):
            if self.screen.count(text.encode()) >= count:
                return
            self.read(0.1)
        raise AssertionError(f"no {text!r} in {self.screen.decode(errors='replace')!r}")

    def type_in(self, text):
        os.write(self.parent, text.encode())

    def end(self):
        """Waits for the end and says how it came."""
        for _ in range(600):
            self.read(0.1)
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.read(0.1)
                return os.waitstatus_to_exitcode(status)
        raise AssertionError("it goes on and on")

    def is_sane(self):
        return termios.tcgetattr(self.child) == self.before

    def attempts(self):
        if not self.journal.exists():
            return 0
        lines = self.journal.read_text().splitlines()
        return sum(1 for line in lines if "item" in json.loads(line))


def check(name, good, drill):
    if not good:
        sys.exit(f"{name}: {drill.screen.decode(errors='replace')}")


def ends(program):
    """Each way to end a drill, after a hint, which makes the question a miss."""

    def keys(text):
        return lambda drill: drill.type_in(text)

    def send(number):
        return lambda drill: os.kill(drill.pid, number)

    for name, end, expected in [
        ("the word quit", keys("quit\r"), 0),
        ("the end of the input", keys("\x04"), 0),
        ("the interrupt key", keys("\x03"), 130),
        ("SIGINT", send(signal.SIGINT), 130),
        ("SIGTERM", send(signal.SIGTERM), -signal.SIGTERM),
        ("SIGHUP", send(signal.SIGHUP), -signal.SIGHUP),
        ("SIGQUIT", send(signal.SIGQUIT), -signal.SIGQUIT),
    ]:
        drill = Drill(program, 80)
        drill.wait_for("> ")
        drill.type_in("hint\r")
        drill.wait_for("> ", 2)
        drill.read(0.3)
        check(f"{name}: raw while a line is read", not drill.is_sane(), drill)
        end(drill)
        status = drill.end()
        check(f"{name}: status {status}, not {expected}", status == expected, drill)
        check(f"{name}: the terminal is not as it was", drill.is_sane(), drill)
        check(f"{name}: {drill.attempts()} attempts kept", drill.attempts() == 1, drill)
        if b"\x1b[?2004h" in drill.screen:
            left = drill.screen.rindex(b"\x1b[?2004l") > drill.screen.rindex(b"\x1b[?2004h")
            check(f"{name}: pastes are still marked", left, drill)


def gone(program):
    """The window is closed: the system sends SIGHUP."""
    drill = Drill(program, 80)
    drill.wait_for("> ")
    drill.type_in("hint\r")
    drill.wait_for("> ", 2)
    drill.read(0.3)
    os.close(drill.child)
    os.close(drill.parent)
    for _ in range(300):
        pid, _status = os.waitpid(drill.pid, os.WNOHANG)
        if pid:
            break
        time.sleep(0.1)
    else:
        sys.exit("a closed window: it goes on and on")
    check("a closed window: the attempt is lost", drill.attempts() == 1, drill)


def widths(program):
    """The terminal's own width, and COLUMNS in its place."""
    for columns, variables, widest in [(40, {}, 40), (200, {}, 100), (120, {"COLUMNS": "50"}, 50)]:
        drill = Drill(program, columns, variables={**variables, "NO_COLOR": "1", "TERM": "dumb"})
        drill.wait_for("> ")
        drill.type_in("help\r")
        drill.wait_for("> ", 2)
        drill.type_in("quit\r")
        check("status", drill.end() == 0, drill)
        lines = drill.screen.decode().replace("\r", "").split("\n")
        check("no escapes", "\x1b" not in drill.screen.decode(), drill)
        long = [line for line in lines if len(line) > widest]
        check(f"lines wider than {widest}: {long}", not long, drill)


def main():
    program = os.path.abspath(sys.argv[1])
    ends(program)
    gone(program)
    widths(program)
    print("the drill in a terminal: every end keeps the attempt and the terminal")


if __name__ == "__main__":
    main()
