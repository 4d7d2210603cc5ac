"""The first start: plain sentences, one start at a time, and nothing half made taken for good."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from shop import bootstrap
from shop.bootstrap import CannotStart, Environment

ROOT = bootstrap.ROOT
NEWER_THAN_PYTHON_2 = (
    ast.AnnAssign, ast.AsyncFunctionDef, ast.Await, ast.JoinedStr, ast.Match, ast.NamedExpr,
    ast.Nonlocal, ast.Starred, ast.YieldFrom,
)  # fmt: skip


@pytest.fixture
def project(tmp_path):
    """A folder with the two locks and nothing else."""
    (tmp_path / "tests").mkdir()
    (tmp_path / "requirements.lock").write_text("django==5.2 \\\n    --hash=sha256:00\n")
    (tmp_path / "tests/requirements.lock").write_text("pytest==9.2 \\\n    --hash=sha256:00\n")
    return tmp_path


@pytest.fixture
def environment(project):
    return Environment(project)


@pytest.fixture
def made(environment):
    """An environment that looks as after a first start for `demo`."""
    environment.python.parent.mkdir(parents=True)
    environment.python.touch()
    (environment.folder / "pyvenv.cfg").touch()
    environment._write_stamp({bootstrap.RUN_LOCK: environment._hash(bootstrap.RUN_LOCK)})
    return environment


@pytest.fixture
def no_building(monkeypatch):
    """What would be built; nothing is."""
    built = []
    monkeypatch.setattr(Environment, "_build", lambda self, locks, lock: built.append(locks))
    return built


class TestOldPythons:
    @pytest.mark.parametrize("name", ["manage.py", "shop/__init__.py"])
    def test_what_is_read_first_has_nothing_newer_than_python_2(self, name):
        for node in ast.walk(ast.parse((ROOT / name).read_text())):
            assert not isinstance(node, NEWER_THAN_PYTHON_2), f"line {node.lineno}"
            if isinstance(node, ast.FunctionDef):
                assert node.returns is None
                assert not node.args.kwonlyargs
                assert all(argument.annotation is None for argument in node.args.args)

    def test_the_bootstrap_is_read_by_python_3_6(self):
        ast.parse((ROOT / "shop/bootstrap.py").read_text(), feature_version=(3, 6))

    def test_an_old_python_is_told_which_one_is_needed(self):
        code = (
            f"import sys; sys.version_info = (3, 9, 18); sys.path[0] = {str(ROOT)!r}; import shop"
        )
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        assert done.returncode == 1
        assert done.stderr.strip().splitlines() == [
            "Baywitness needs Python 3.11 or newer, and this is Python 3.9. "
            "Start it with a newer one, for instance: python3.13 manage.py demo"
        ]

    def test_the_sentence_and_the_package_name_the_same_python(self):
        import shop

        declared = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
        assert declared["requires-python"] == ">={}.{}".format(*shop.OLDEST_PYTHON)


class TestStamp:
    def test_a_finished_environment_is_right(self, made):
        assert made.is_right([bootstrap.RUN_LOCK])

    def test_without_a_stamp_it_is_not(self, made):
        made.stamp.unlink()
        assert not made.is_right([bootstrap.RUN_LOCK])

    def test_a_changed_lock_makes_it_old(self, made, project):
        (project / "requirements.lock").write_text("django==5.3\n")
        assert not made.is_right([bootstrap.RUN_LOCK])

    def test_the_tests_need_their_own_lock_too(self, made):
        assert not made.is_right([bootstrap.RUN_LOCK, bootstrap.TEST_LOCK])

    def test_another_python_makes_it_old(self, made, monkeypatch):
        monkeypatch.setattr(bootstrap, "this_python", lambda: "cpython-399-linux-x86_64")
        assert not made.is_right([bootstrap.RUN_LOCK])

    @pytest.mark.parametrize("text", ["", "{", "[]", '{"python": 3}', '{"locks": {}}'])
    def test_a_damaged_stamp_counts_as_none(self, made, text):
        made.stamp.write_text(text)
        assert not made.is_right([bootstrap.RUN_LOCK])

    def test_an_interpreter_that_is_gone_makes_it_old(self, made):
        made.python.unlink()
        assert not made.is_right([bootstrap.RUN_LOCK])

    def test_what_is_right_is_left_alone(self, made, no_building):
        made.make_ready([bootstrap.RUN_LOCK])
        assert no_building == []
        assert not made.lock.exists()

    def test_what_is_old_is_built(self, made, no_building):
        made.make_ready([bootstrap.RUN_LOCK, bootstrap.TEST_LOCK])
        assert no_building == [[bootstrap.RUN_LOCK, bootstrap.TEST_LOCK]]


class StepByStep:
    """Stands in for pip: notes each step and fails in the one that it is told to."""

    def __init__(self, fails_in: str = "") -> None:
        self.fails_in = fails_in
        self.steps: list[str] = []
        self.stamp_then: list[bool] = []

    def __call__(self, environment, line, lock, verb, names) -> bool:
        self.steps.append(verb)
        self.stamp_then.append(environment.stamp.exists())
        if verb == self.fails_in:
            environment.log.write_text(
                "WARNING: Retrying (Retry(total=4)) after connection broken by "
                "'NewConnectionError: Temporary failure in name resolution'\n"
                "ERROR: No matching distribution found for django==5.2\n"
            )
        return verb != self.fails_in


@pytest.fixture
def steps(monkeypatch):
    """Builds go through the motions: folders are made, nothing is fetched."""

    def creates(environment, lock):
        lock.write("ours\n")
        lock.flush()
        environment.python.parent.mkdir(parents=True, exist_ok=True)
        environment.python.touch()
        (environment.folder / "pyvenv.cfg").touch()

    def use(fails_in: str = "") -> StepByStep:
        pip = StepByStep(fails_in)
        monkeypatch.setattr(Environment, "_create", creates)
        monkeypatch.setattr(Environment, "_run", lambda self, *rest: pip(self, *rest))
        monkeypatch.setattr(Environment, "_prove", lambda self: None)
        monkeypatch.setattr(bootstrap.shutil, "which", lambda name: None)
        return pip

    return use


class TestBuilding:
    def test_fetches_then_installs_then_stamps(self, environment, steps):
        pip = steps()
        environment.make_ready([bootstrap.RUN_LOCK])
        assert pip.steps == ["fetched", "installed"]
        assert pip.stamp_then == [False, False]
        assert environment.is_right([bootstrap.RUN_LOCK])

    def test_one_that_was_cut_off_is_begun_anew(self, environment, steps):
        steps(fails_in="installed")
        with pytest.raises(CannotStart):
            environment.make_ready([bootstrap.RUN_LOCK])
        assert not environment.is_right([bootstrap.RUN_LOCK])
        steps()
        environment.make_ready([bootstrap.RUN_LOCK])
        assert environment.is_right([bootstrap.RUN_LOCK])

    def test_an_update_that_cannot_fetch_leaves_the_working_one_whole(self, made, steps):
        steps(fails_in="fetched")
        with pytest.raises(CannotStart):
            made.make_ready([bootstrap.RUN_LOCK, bootstrap.TEST_LOCK])
        assert made.is_right([bootstrap.RUN_LOCK])

    def test_an_update_takes_the_stamp_away_before_it_changes_anything(self, made, steps):
        pip = steps(fails_in="installed")
        with pytest.raises(CannotStart):
            made.make_ready([bootstrap.RUN_LOCK, bootstrap.TEST_LOCK])
        assert pip.stamp_then == [True, False]
        assert not made.is_right([bootstrap.RUN_LOCK])

    def test_uv_unpacks_where_there_is_one_and_pip_where_uv_gives_up(
        self, environment, steps, monkeypatch
    ):
        pip = steps()
        tried = []

        def run(self, line, lock, verb, names):
            tried.append(Path(line[0]).name)
            return Path(line[0]).name != "uv"

        monkeypatch.setattr(Environment, "_run", run)
        monkeypatch.setattr(bootstrap.shutil, "which", lambda name: "/usr/bin/uv")
        environment.make_ready([bootstrap.RUN_LOCK])
        assert tried == ["python", "uv", "python"]
        assert pip.steps == []

    def test_a_folder_that_somebody_else_made_is_left_alone(self, environment):
        environment.folder.mkdir()
        (environment.folder / "mine.txt").write_text("kept")
        with pytest.raises(CannotStart, match=r"did not make, so it is left alone"):
            environment.make_ready([bootstrap.RUN_LOCK])
        assert (environment.folder / "mine.txt").read_text() == "kept"

    def test_a_second_start_waits_and_finds_all_done(self, environment, no_building, capfd):
        code = (
            "import sys, pathlib; from shop import bootstrap\n"
            "environment = bootstrap.Environment(pathlib.Path(sys.argv[1]))\n"
            "with environment._only_one_start():\n"
            "    print('held', flush=True); sys.stdin.readline()\n"
            "    environment.python.parent.mkdir(parents=True); environment.python.touch()\n"
            "    (environment.folder / 'pyvenv.cfg').touch()\n"
            "    name = bootstrap.RUN_LOCK\n"
            "    environment._write_stamp({name: environment._hash(name)})\n"
        )
        first = subprocess.Popen(
            [sys.executable, "-c", code, str(environment.root)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT,
        )  # fmt: skip
        assert first.stdout.readline() == "held\n"
        with environment.lock.open("a") as file:
            assert not bootstrap.try_lock(file)
        first.communicate("go on\n")
        assert first.returncode == 0
        environment.make_ready([bootstrap.RUN_LOCK])
        assert no_building == []

    def test_the_lock_goes_with_the_process_that_held_it(self, environment):
        with environment._only_one_start():
            pass
        with environment.lock.open("a") as file:
            assert bootstrap.try_lock(file)


class TestWhenItStaysAway:
    @pytest.fixture(autouse=True)
    def system_python(self, monkeypatch):
        """As if started by the system's Python, in a process that is not handed over."""
        monkeypatch.setattr(sys, "prefix", sys.base_prefix)
        monkeypatch.delenv("BAYWITNESS_NO_BOOTSTRAP", raising=False)
        self.asked, self.handed = [], []
        monkeypatch.setattr(Environment, "make_ready", lambda _, locks: self.asked.append(locks))
        monkeypatch.setattr(bootstrap, "bring", lambda part: self.asked.append(part))
        monkeypatch.setattr(bootstrap, "run_again", lambda *rest: self.handed.append(rest))

    def test_in_an_active_environment(self, monkeypatch):
        monkeypatch.setattr(sys, "prefix", "/somewhere/else")
        bootstrap.ensure(["manage.py", "demo"])
        assert (self.asked, self.handed) == ([], [])

    @pytest.mark.parametrize(("value", "stays_away"), [("1", True), ("0", False), ("", False)])
    def test_where_a_variable_forbids_it(self, monkeypatch, value, stays_away):
        monkeypatch.setenv("BAYWITNESS_NO_BOOTSTRAP", value)
        bootstrap.ensure(["manage.py", "check"])
        assert bool(self.handed) is not stays_away

    def test_in_ci_it_does_not(self, monkeypatch):
        monkeypatch.setenv("CI", "true")
        bootstrap.ensure(["manage.py", "check"])
        assert self.asked == [[bootstrap.RUN_LOCK]]

    def test_the_command_goes_to_the_environments_python_word_for_word(self):
        bootstrap.ensure(["manage.py", "demo", "--port", "8001"])
        python, words = self.handed[0]
        assert python == ROOT / ".venv" / "bin" / "python"
        assert words == [str(ROOT / "manage.py"), "demo", "--port", "8001"]

    def test_demo_asks_for_pdf_making_and_test_for_a_browser_too(self):
        bootstrap.ensure(["manage.py", "demo"])
        bootstrap.ensure(["manage.py", "test"])
        assert self.asked == [
            [bootstrap.RUN_LOCK],
            bootstrap.PANGO,
            [bootstrap.RUN_LOCK, bootstrap.TEST_LOCK],
            bootstrap.PANGO,
            bootstrap.CHROMIUM,
            bootstrap.PDFTOTEXT,
            bootstrap.OPENMP,
        ]

    def test_a_question_for_help_installs_nothing_in_the_system(self):
        bootstrap.ensure(["manage.py", "test", "--help"])
        assert self.asked == [[bootstrap.RUN_LOCK, bootstrap.TEST_LOCK]]

    def test_what_cannot_start_ends_with_its_reason_and_not_with_0(self, monkeypatch):
        def fails(self, locks):
            raise CannotStart("no index")

        monkeypatch.setattr(Environment, "make_ready", fails)
        with pytest.raises(SystemExit) as ended:
            bootstrap.ensure(["manage.py", "demo"])
        assert "no index" in str(ended.value.code)
        assert self.handed == []


class TestWhatIsWrong:
    @pytest.mark.parametrize(
        ("said", "told"),
        [
            ("ERROR: NewConnectionError(': Failed to establish a new connection')", "be reached"),
            ("ERROR: ReadTimeoutError: Read timed out.", "be reached"),
            ("ERROR: Could not connect: Connection refused", "be reached"),
            ("SSLCertVerificationError CERTIFICATE_VERIFY_FAILED, Connection refused", "trust"),
            ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS", "not the one"),
            ("ERROR: [Errno 28] No space left on device", "disk is full"),
            ("ERROR: No matching distribution found for x==1", "for this Python and machine"),
            ("ERROR: something never seen", "Installing the Python packages failed."),
        ],
    )
    def test_is_told_in_plain_words_with_pips_own_last(self, tmp_path, said, told):
        log = tmp_path / "log"
        log.write_text(said + "\n")
        message = bootstrap.explain_pip(log)
        assert told in message
        assert f"pip's last word: {said}" in message
        assert str(log) in message

    def test_offline_says_what_to_do_although_pip_speaks_of_versions(self, environment, steps):
        steps(fails_in="fetched")
        with pytest.raises(CannotStart) as fault:
            environment.make_ready([bootstrap.RUN_LOCK])
        assert (
            "The package index, from which Python packages are fetched, can't be reached."
            in str(fault.value)
        )
        assert "Connect this computer and start again." in str(fault.value)

    def test_a_python_without_its_module_for_environments_names_the_command(
        self, environment, monkeypatch
    ):
        real = bootstrap.importlib.util.find_spec
        monkeypatch.setattr(
            bootstrap.importlib.util,
            "find_spec",
            lambda name, *rest: None if name == "ensurepip" else real(name, *rest),
        )
        monkeypatch.setattr(bootstrap, "is_root", lambda: False)
        monkeypatch.setattr(bootstrap, "venv_package", lambda: "python3-venv")
        with pytest.raises(CannotStart) as fault:
            environment.make_ready([bootstrap.RUN_LOCK])
        assert str(fault.value).splitlines()[-1].strip() == (
            "sudo apt-get update && sudo apt-get install -y --no-install-recommends python3-venv"
        )

    def test_a_folder_of_somebody_else_is_named(self, environment, monkeypatch):
        def refuses(self):
            raise PermissionError(13, "Permission denied", str(self.lock))

        monkeypatch.setattr(Environment, "_only_one_start", refuses)
        with pytest.raises(CannotStart, match=r"\.venv\.lock may not be written by this user"):
            environment.make_ready([bootstrap.RUN_LOCK])


class TestProgress:
    SAID = (
        "Ignoring brotlicffi: markers 'platform == \"x\"' don't match your environment\n"
        "Ignoring tzdata: markers 'sys_platform == \"win32\"' don't match your environment\n"
        "Collecting django==5.2\n"
        "  Downloading django-5.2-py3-none-any.whl.metadata (4.1 kB)\n"
        "  Downloading django-5.2-py3-none-any.whl (8.3 MB)\n"
        "  Using cached tzdata-2026.6-py2.py3-none-any.whl (347 kB)\n"
    )

    def test_counts_packages_and_not_their_descriptions(self):
        assert bootstrap.fetched_in(self.SAID) == 2

    def test_leaves_out_what_is_for_other_machines(self, tmp_path):
        run, test = tmp_path / "run", tmp_path / "test"
        run.write_text("brotlicffi==1 ; x\ndjango==5.2 \\\n    --hash=sha256:0\ntzdata==2026.6\n")
        test.write_text("tzdata==2026.6 ; sys_platform == 'win32'\n")
        names = bootstrap.names_in(iter([run, test])) - bootstrap.ignored_in(self.SAID)
        assert sorted(names) == ["django", "tzdata"]


class TestSystemParts:
    @pytest.fixture
    def debian(self, monkeypatch):
        """A Debian that lacks Pango; nothing is installed, what would be is noted."""
        self.installed = []
        monkeypatch.setattr(bootstrap.sys, "platform", "linux")
        monkeypatch.setattr(bootstrap, "this_system", lambda: ["debian"])
        monkeypatch.setattr(bootstrap, "how_to_become_root", lambda: [])
        monkeypatch.setattr(bootstrap, "is_root", lambda: True)
        monkeypatch.delenv("BAYWITNESS_NO_SYSTEM_INSTALL", raising=False)
        monkeypatch.setattr(bootstrap, "install_by_apt", self._note)

    def _note(self, as_who, packages):
        self.installed += packages
        return True

    @property
    def part(self):
        return bootstrap.PANGO._replace(is_there=lambda: bool(self.installed))

    def test_are_installed_where_that_is_allowed(self, debian, capsys):
        bootstrap.bring(self.part)
        assert self.installed == ["libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"]
        assert "installed: libpango-1.0-0" in capsys.readouterr().err

    def test_are_not_touched_where_they_are_there(self, debian, capsys):
        bootstrap.bring(self.part._replace(is_there=lambda: True))
        assert self.installed == []
        assert capsys.readouterr().err == ""

    def test_are_only_named_where_a_variable_forbids_it(self, debian, monkeypatch, capsys):
        monkeypatch.setenv("BAYWITNESS_NO_SYSTEM_INSTALL", "1")
        bootstrap.bring(self.part)
        assert self.installed == []
        assert (
            "apt-get update && apt-get install -y --no-install-recommends "
            "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0" in capsys.readouterr().err
        )

    def test_are_only_named_where_a_password_would_be_asked(self, debian, monkeypatch, capsys):
        monkeypatch.setattr(bootstrap, "how_to_become_root", lambda: None)
        monkeypatch.setattr(bootstrap, "is_root", lambda: False)
        bootstrap.bring(self.part)
        assert self.installed == []
        assert "sudo apt-get install" in capsys.readouterr().err

    def test_that_will_not_install_do_not_stop_the_start(self, debian, monkeypatch, capsys):
        monkeypatch.setattr(bootstrap, "install_by_apt", lambda as_who, packages: False)
        bootstrap.bring(self.part)
        assert "it starts without" in capsys.readouterr().err

    def test_leave_ubuntus_browser_alone(self, debian, monkeypatch):
        monkeypatch.setattr(bootstrap, "this_system", lambda: ["ubuntu", "debian"])
        monkeypatch.setattr(bootstrap, "has_browser", lambda: False)
        bootstrap.bring(bootstrap.CHROMIUM)
        assert self.installed == []

    def test_a_library_that_is_nowhere_is_noticed(self):
        assert not bootstrap.loads("libno-such-thing-baywitness.so.9")


class TestLocks:
    @pytest.fixture
    def declared(self):
        return tomllib.loads((ROOT / "pyproject.toml").read_text())

    def _check(self, wanted: list[str], lock: str) -> None:
        pinned = {}
        for line in (ROOT / lock).read_text().splitlines():
            if "==" in line and not line.startswith((" ", "#")):
                requirement = Requirement(line.rstrip(" \\"))
                pinned.setdefault(canonicalize_name(requirement.name), []).append(requirement)
        for text in wanted:
            requirement = Requirement(text)
            pins = pinned.get(canonicalize_name(requirement.name), [])
            assert pins, f"{requirement.name} is not in {lock}"
            for pin in pins:
                version = next(iter(pin.specifier)).version
                assert requirement.specifier.contains(version), f"{lock}: {pin} against {text}"

    def test_what_runs_is_pinned_as_declared(self, declared):
        self._check(declared["project"]["dependencies"], bootstrap.RUN_LOCK)

    def test_what_tests_is_pinned_as_declared(self, declared):
        self._check(declared["dependency-groups"]["test"], bootstrap.TEST_LOCK)

    @pytest.mark.parametrize("name", [bootstrap.RUN_LOCK, bootstrap.TEST_LOCK])
    def test_every_pin_has_its_hashes_and_no_address(self, name):
        text = (ROOT / name).read_text()
        assert "://" not in text
        blocks = [b for b in text.split("\n") if "==" in b and not b.startswith((" ", "#"))]
        assert blocks
        assert all(line.endswith("\\") for line in blocks)

    def test_both_agree_where_they_overlap(self):
        def pins(name):
            lines = (ROOT / name).read_text().splitlines()
            return dict(
                line.split(" ")[0].split("==")
                for line in lines
                if "==" in line and line[0] not in " #"
            )

        run, test = pins(bootstrap.RUN_LOCK), pins(bootstrap.TEST_LOCK)
        assert {name: test[name] for name in run.keys() & test.keys()} == {
            name: run[name] for name in run.keys() & test.keys()
        }


def test_the_stamp_is_readable_by_people(made):
    assert json.loads(made.stamp.read_text())["python"] == bootstrap.this_python()
