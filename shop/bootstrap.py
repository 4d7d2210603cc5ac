"""Makes the environment that everything else runs in, on the first start and after updates.

Standard library only, and the rest of the project doesn't know it. `.venv` is built from the
locks, a stamp is written last, and the command is then run again by the environment's own Python.
Nothing happens inside an environment that is active already.
"""

import contextlib
import ctypes
import hashlib
import importlib.util
import json
import os
import platform
import re
import shlex
import shutil
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, NamedTuple

ROOT = Path(__file__).resolve().parent.parent
RUN_LOCK = "requirements.lock"
TEST_LOCK = "tests/requirements.lock"
WINDOWS = sys.platform == "win32"
DJANGO_IS_MISSING = (
    "Django is missing from this Python environment, which is not the one that Baywitness makes.\n"
    "Leave it (deactivate, and unset BAYWITNESS_NO_BOOTSTRAP) and start again, or fill it:\n"
    "  python -m pip install -r requirements.lock"
)


HASHED = ["--require-hashes", "--only-binary", ":all:"]


class CannotStart(Exception):
    """The environment can't be made; the message says why and what to do."""


def ensure(argv: list[str]) -> None:
    """Run `argv` in the environment of the lock, which is made first where it is missing or old.

    Returns only where the running Python is to be used as it is.
    """
    if sys.prefix != sys.base_prefix or is_on("BAYWITNESS_NO_BOOTSTRAP"):
        return
    command = argv[1] if len(argv) > 1 else ""
    environment = Environment(ROOT)
    try:
        environment.make_ready([RUN_LOCK, TEST_LOCK] if command == "test" else [RUN_LOCK])
        if "--help" not in argv:
            for part in PARTS_OF_COMMAND.get(command, []):
                bring(part)
    except CannotStart as fault:
        sys.exit("\n" + str(fault))
    except KeyboardInterrupt:
        say("\nStopped. The next start takes up where this one left off.")
        sys.exit(130)
    run_again(environment.python, [str(ROOT / "manage.py"), *argv[1:]])


def is_on(name: str) -> bool:
    """Whether an environment variable is set to anything but "no"."""
    return os.environ.get(name, "").strip().lower() not in {"", "0", "no", "false", "off"}


def say(text: str, end: str = "\n") -> None:
    """Progress goes to standard error, so that a command's own output stays clean."""
    print(text, end=end, file=sys.stderr, flush=True)


def run_again(python: Path, arguments: list[str]) -> None:
    """Hand this process over to the environment's Python. Scripts in it are never used."""
    line = [str(python), *arguments]
    if WINDOWS:  # there exec would give the terminal back at once
        sys.exit(subprocess.call(line))
    os.execv(line[0], line)


# ------------------------------------------------------------------ the Python environment


class Environment:
    """The folder `.venv`, its stamp, and the lock that keeps two starts apart."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.folder = root / ".venv"
        self.lock = root / ".venv.lock"
        self.stamp = self.folder / "baywitness-stamp.json"
        self.log = self.folder / "baywitness-install.log"
        self.incoming = self.folder / "incoming"
        self.python = self.folder / ("Scripts/python.exe" if WINDOWS else "bin/python")

    def is_right(self, locks: list[str]) -> bool:
        """Whether all of `locks`, as they read now, were installed for this Python."""
        made = self._made()
        return all(made.get(name) == self._hash(name) for name in locks)

    def make_ready(self, locks: list[str]) -> None:
        """Make or bring up to date what `locks` ask for; does nothing where all is right."""
        if self.is_right(locks):
            return
        try:
            with self._only_one_start() as lock:
                if not self.is_right(locks):
                    self._build(locks, lock)
        except OSError as fault:
            raise CannotStart(explain_os_error(fault, self.root)) from fault

    def _made(self) -> dict[str, str]:
        """Locks and hashes of the stamp; nothing where it is missing or of another Python."""
        if not (self.python.exists() and (self.folder / "pyvenv.cfg").exists()):
            return {}
        try:
            made = json.loads(self.stamp.read_text("utf-8"))
            return dict(made["locks"]) if made["python"] == this_python() else {}
        except (OSError, ValueError, KeyError, TypeError):
            return {}

    def _hash(self, lock: str) -> str:
        return hashlib.sha256((self.root / lock).read_bytes()).hexdigest()

    @contextlib.contextmanager
    def _only_one_start(self) -> Iterator[IO[str]]:
        with self.lock.open("a", encoding="utf-8") as file:
            if not try_lock(file):
                say("Another start is making the environment just now; waiting for it.")
                while not try_lock(file):
                    time.sleep(0.5)
            yield file  # closing it, or the end of the process, lets go

    def _build(self, locks: list[str], lock: IO[str]) -> None:
        began = time.monotonic()
        if self._made():
            say("Updating the Python environment in .venv: it needs more packages, or other ones.")
        else:
            say("First start: making the Python environment in .venv. This takes about a minute.")
            self._create(lock)
        hashes = {name: self._hash(name) for name in locks}
        wanted = [word for name in locks for word in ("-r", str(self.root / name))]
        names = names_in(self.root / name for name in locks)
        pip = [str(self.python), "-m", "pip", "--disable-pip-version-check", "--no-input"]
        # Fetched first, so that an environment that works stays whole until everything is here.
        self.log.write_text("", "utf-8")
        fetch = [*pip, "download", "--progress-bar", "off", "--dest", str(self.incoming), *HASHED]
        if not self._run([*fetch, *wanted], lock, "fetched", names):
            raise CannotStart(explain_pip(self.log))
        self.stamp.unlink(missing_ok=True)
        local = ["--no-index", "--find-links", str(self.incoming), *HASHED, *wanted]
        installers = [[*pip, "install", *local]]
        uv = shutil.which("uv")
        if uv:  # the same files, unpacked faster
            installers.insert(0, [uv, "pip", "install", "--python", str(self.python), *local])
        if not any(self._run(line, lock, "installed", names) for line in installers):
            raise CannotStart(explain_pip(self.log))
        self._prove()
        shutil.rmtree(self.incoming, ignore_errors=True)
        self._write_stamp(hashes)
        say(f"The environment is ready after {time.monotonic() - began:.0f} s.")

    def _create(self, lock: IO[str]) -> None:
        """An empty environment in place of one that is missing, old or half made."""
        if self.folder.exists() and not self._is_ours():
            raise CannotStart(NOT_OURS.format(self.folder))
        if not all(map(importlib.util.find_spec, ["venv", "ensurepip"])):
            raise CannotStart(VENV_IS_MISSING.format(install_line([venv_package()])))
        import venv

        lock.write(f"{self.folder} was made by manage.py, which may make it anew.\n")
        lock.flush()
        self.stamp.unlink(missing_ok=True)
        try:
            # Links to the interpreter, as `python -m venv` makes them; Windows needs a copy.
            venv.EnvBuilder(clear=True, symlinks=not WINDOWS, with_pip=True).create(self.folder)
        except subprocess.CalledProcessError as fault:
            raise CannotStart(VENV_IS_MISSING.format(install_line([venv_package()]))) from fault

    def _is_ours(self) -> bool:
        return self.stamp.exists() or bool(self.lock.stat().st_size)

    def _run(self, line: list[str], lock: IO[str], verb: str, names: Counter[str]) -> bool:
        """Run one step of installing, saying how far it is; whether it succeeded."""
        began = time.time()
        with self.log.open("a", encoding="utf-8") as log:
            # It inherits the lock, which then holds until it has ended, whatever ends this process.
            process = subprocess.Popen(
                line,
                cwd=self.root,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
                env=pip_variables(),
                pass_fds=[] if WINDOWS else [lock.fileno()],
            )
        progress = Progress(verb)
        try:
            while True:
                ended = process.poll() is not None
                text = log_text(self.log)
                total = len(names - ignored_in(text))
                done = fetched_in(text) if verb == "fetched" else self._installed_since(began, text)
                if ended:
                    done = total if process.returncode == 0 else done
                progress.show(min(done, total), total, waiting="Retrying (" in text)
                if ended:
                    return process.returncode == 0
                time.sleep(0.2)
        finally:
            if process.poll() is None:
                process.terminate()
                process.wait()

    def _installed_since(self, began: float, text: str) -> int:
        """Packages that are in the environment now: written since then, or right from before."""
        site = "Lib/site-packages" if WINDOWS else "lib/python*/site-packages"
        marks = self.folder.glob(site + "/*.dist-info/INSTALLER")
        fresh = sum(1 for mark in marks if mark.stat().st_mtime >= began)
        return fresh + len(set(re.findall(r"already satisfied: (\S+?)==", text)))

    def _prove(self) -> None:
        """The environment stands by itself and finds what it is for."""
        probe = "import sys, django; sys.exit(sys.prefix == sys.base_prefix)"
        if subprocess.call([str(self.python), "-c", probe], stdin=subprocess.DEVNULL):
            raise CannotStart(
                "The environment in .venv was made but doesn't work.\n"
                "Delete the folder .venv and start again; what was done stands in " + str(self.log)
            )

    def _write_stamp(self, locks: dict[str, str]) -> None:
        new = self.stamp.with_suffix(".new")
        with new.open("w", encoding="utf-8") as file:
            json.dump({"python": this_python(), "locks": locks}, file, indent=1)
            file.flush()
            os.fsync(file.fileno())
        new.replace(self.stamp)


class Progress:
    """One line that counts on a terminal, a few lines elsewhere."""

    def __init__(self, verb: str) -> None:
        self.verb = verb
        self.shown = 0
        self.waiting = False

    def show(self, done: int, total: int, *, waiting: bool) -> None:
        """Say how many packages are `done`, and once that the index doesn't answer."""
        if waiting and not self.waiting:
            self.waiting = True
            say("  no answer from the package index yet; trying again")
        live = sys.stderr.isatty()
        step = 1 if live else 15
        if done != self.shown and (done >= self.shown + step or done == total):
            self.shown = done
            end = "\r" if live and done != total else "\n"
            say(f"  {done} of {total} packages {self.verb}", end=end)


def this_python() -> str:
    """What an environment is good for: implementation, version, system and kind of machine."""
    return f"{sys.implementation.cache_tag}-{sys.platform}-{platform.machine()}"


def try_lock(file: IO[str]) -> bool:
    """Take the lock of an open file, if nobody else holds it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def pip_variables() -> dict[str, str]:
    """The user's settings (mirror, proxy, certificates), but for those that lead elsewhere."""
    elsewhere = {"PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PYTHONHOME", "PYTHONPATH", "UV_PYTHON"}
    kept = {name: value for name, value in os.environ.items() if name not in elsewhere}
    return {**kept, "PIP_USER": "0", "PYTHONUNBUFFERED": "1", "LC_ALL": "C.UTF-8"}


def log_text(log: Path) -> str:
    """What pip has said so far."""
    return log.read_text("utf-8", errors="replace")


def names_in(locks: Iterator[Path]) -> Counter[str]:
    """How many lines each package has in the locks."""
    text = "\n".join(lock.read_text("utf-8") for lock in locks)
    return Counter(re.findall(r"^([A-Za-z0-9._-]+)==", text, re.MULTILINE))


def ignored_in(text: str) -> Counter[str]:
    """How many of these lines pip passes over, because they are for other machines."""
    return Counter(set(re.findall(r"^Ignoring ([A-Za-z0-9._-]+): markers .*", text, re.MULTILINE)))


def fetched_in(text: str) -> int:
    """How many packages are fetched, by what pip said so far."""
    return len(set(re.findall(r"(?:Downloading|Using cached|Processing) (\S+\.whl)\s", text)))


# ------------------------------------------------------------------ what is wrong, and what to do

VENV_IS_MISSING = (
    "Python's module for environments is missing (Debian and Ubuntu pack it apart).\n"
    "Run this once, then start again:\n  {}"
)
NOT_OURS = (
    "There is a folder {} that manage.py did not make, so it is left alone.\n"
    "Use it by activating it (then fill it with `python -m pip install -r requirements.lock`),\n"
    "or move it away and start again."
)
UNREACHABLE = (
    "The package index, from which Python packages are fetched, can't be reached.\n"
    "This start needs the internet, later ones don't. Nothing that worked before was changed.\n"
    "Connect this computer and start again. Behind a proxy set HTTPS_PROXY; where there is a\n"
    "mirror set PIP_INDEX_URL."
)
NOT_TRUSTED = (
    "The package index answers with a certificate that this computer doesn't trust.\n"
    "Often the clock is wrong, or the network puts a proxy between: then name its certificate\n"
    "with PIP_CERT, and start again."
)
NOT_THE_SAME = (
    "A fetched package is not the one that requirements.lock names, so it was not installed.\n"
    "Start again; if it stays so, this computer's mirror or proxy hands out other files."
)
NO_ROOM = "The disk is full: the environment needs about 600 MB. Make room and start again."
NOT_FOUND = (
    "A package of requirements.lock is not to be had for this Python and machine ({})."
    " Python 3.11 to 3.13 on Linux, macOS and Windows are run."
)

# The first that is found in pip's output counts; a certificate's fault is also a connection's.
REASONS = (
    (r"No space left on device", NO_ROOM),
    (r"DO NOT MATCH THE HASHES|mismatched hash", NOT_THE_SAME),
    (r"CERTIFICATE_VERIFY_FAILED|certificate verify failed", NOT_TRUSTED),
    (r"NewConnectionError|NameResolutionError|name resolution|[Tt]ime(?:d ?)?out", UNREACHABLE),
    (r"ProxyError|Connection (?:refused|reset|aborted)|Network is unreachable", UNREACHABLE),
    (r"Could not fetch URL|ConnectionError|HTTP error 5\d\d", UNREACHABLE),
    (r"No matching distribution found|Could not find a version", NOT_FOUND),
)


def explain_pip(log: Path) -> str:
    """Why pip gave up, in plain words, with its own last line and where the rest stands."""
    text = log_text(log)
    known = next((words for pattern, words in REASONS if re.search(pattern, text)), "")
    errors = [line for line in text.splitlines() if line.lower().startswith("error")]
    last = (errors or text.splitlines() or [""])[-1]
    head = known.format(this_python()) if known else "Installing the Python packages failed."
    return f"{head}\npip's last word: {last}\nAll of it stands in {log}"


def explain_os_error(fault: OSError, root: Path) -> str:
    """Why files could not be written, in plain words."""
    if isinstance(fault, PermissionError):
        return (
            f"The Python environment can't be made or updated: {fault.filename} may not be written"
            f" by this user.\nStart once as the owner of {root}, or use a copy of your own."
        )
    if fault.errno == 28:
        return NO_ROOM
    return f"The Python environment can't be made in {root}: {fault}"


# ------------------------------------------------------------------ parts of the operating system


class Part(NamedTuple):
    """Something that comes with the operating system and not with Python."""

    what: str
    what_for: str
    is_there: Callable[[], bool]
    packages: dict[str, list[str]]  # by family of systems
    takes: str


PANGO_LIBRARIES = (
    "libgobject-2.0.so.0",
    "libpango-1.0.so.0",
    "libharfbuzz.so.0",
    "libharfbuzz-subset.so.0",
    "libfontconfig.so.1",
    "libpangoft2-1.0.so.0",
)
DRIVER_LIBRARY = "libatomic.so.1"
"""What the program that drives the browser needs of the system; a minimal one lacks it."""
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
INSTALL = {  # family: (what freshens the lists, what installs)
    "debian": ("apt-get update", "apt-get install -y --no-install-recommends"),
    "fedora": ("", "dnf install -y"),
    "alpine": ("", "apk add"),
}


def has_pango() -> bool:
    """Whether each library that PDF making loads can be loaded."""
    return all(loads(name) for name in PANGO_LIBRARIES)


def loads(name: str) -> bool:
    """Whether the system finds a shared library."""
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def has_browser() -> bool:
    """Whether a browser is there that the tests can drive, and what its driver loads."""
    return any(shutil.which(name) for name in BROWSERS) and loads(DRIVER_LIBRARY)


PANGO = Part(
    "Pango",
    "PDF making",
    has_pango,
    {
        "debian": ["libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"],
        "fedora": ["pango"],
        "alpine": ["so:" + name for name in PANGO_LIBRARIES],
    },
    "half a minute",
)
CHROMIUM = Part(
    "Chromium",
    "the browser tests",
    has_browser,
    {
        "debian": ["chromium", "libatomic1"],
        "fedora": ["chromium", "libatomic"],
        "alpine": ["chromium", "libatomic"],
    },
    "a minute or two",
)
PDFTOTEXT = Part(
    "pdftotext",
    "reading reports in the tests",
    lambda: shutil.which("pdftotext") is not None,
    {family: ["poppler-utils"] for family in INSTALL},
    "a few seconds",
)
OPENMP = Part(
    "libgomp",
    "the library that odds are checked against",
    lambda: loads("libgomp.so.1"),
    {"debian": ["libgomp1"], "fedora": ["libgomp"], "alpine": ["libgomp"]},
    "a few seconds",
)
PARTS_OF_COMMAND = {"demo": [PANGO], "test": [PANGO, CHROMIUM, PDFTOTEXT, OPENMP]}


def bring(part: Part) -> None:
    """Install a part of the system where that is allowed, else say how; the start goes on."""
    if not sys.platform.startswith("linux") or part.is_there():
        return
    systems = this_system()
    if part is CHROMIUM and "ubuntu" in systems:
        return  # there it is a snap, which the tests can't drive; they say so themselves
    as_who = how_to_become_root() if "debian" in systems else None
    if as_who is not None and not is_on("BAYWITNESS_NO_SYSTEM_INSTALL"):
        packages = part.packages["debian"]
        say(f"Installing {part.what} for {part.what_for}; this takes {part.takes}.")
        if install_by_apt(as_who, packages) and part.is_there():
            say("  installed: " + " ".join(packages))
            return
        say("  That didn't work.")
    say(
        f"This machine lacks {part.what}, needed for {part.what_for}; it starts without. To add it:"
    )
    say("  " + remedy(part))


def remedy(part: Part) -> str:
    """The one command that brings a part on this system."""
    family = next((name for name in INSTALL if name in this_system()), "")
    if family:
        return install_line(part.packages[family], family)
    return f"install {part.what} with this system's own package manager"


def this_system() -> list[str]:
    """Names of this system and of those that it is like, by /etc/os-release."""
    try:
        release = platform.freedesktop_os_release()
    except OSError:
        return []
    return [release.get("ID", ""), *release.get("ID_LIKE", "").split()]


def how_to_become_root() -> list[str] | None:
    """Words before a command that needs root; None where a password would be asked."""
    if is_root():
        return []
    sudo = shutil.which("sudo")
    if not sudo:
        return None
    may = subprocess.call([sudo, "-n", "true"], stdin=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return [sudo, "-n"] if may == 0 else None


def is_root() -> bool:
    """Whether this process may change the system."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def install_by_apt(as_who: list[str], packages: list[str]) -> bool:
    """Freshen apt's lists and install; whether that worked. What apt says is shown on failure."""
    if not shutil.which("apt-get"):
        return False
    quiet = [*as_who, "env", "DEBIAN_FRONTEND=noninteractive", "LC_ALL=C.UTF-8", "apt-get", "-q"]
    quiet += ["-o", "DPkg::Lock::Timeout=120", "-o", "Acquire::Retries=2"]
    for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        done = subprocess.run(
            [*quiet, *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        )
        if done.returncode:
            say("".join("  " + line + "\n" for line in done.stdout.splitlines()[-5:]), end="")
            return False
    return True


def install_line(packages: list[str], family: str = "debian") -> str:
    """The one line that a person types to install system packages."""
    freshen, install = INSTALL[family]
    sudo = "" if is_root() else "sudo "
    first = f"{sudo}{freshen} && " if freshen else ""
    return first + sudo + install + " " + shlex.join(packages)


def venv_package() -> str:
    """Debian's package with the module for environments, for the Python that is running."""
    usual = Path("/usr/bin/python3")
    name = f"python{sys.version_info[0]}.{sys.version_info[1]}"
    return "python3-venv" if usual.resolve().name == name else name + "-venv"
