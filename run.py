#!/usr/bin/env python3
"""Run slype, or its tests, from a fresh checkout: no other preparation, standard library only.

Installs into a private environment (`.venv` beside this file), because many systems refuse
`pip install` into their own Python. Kept to the oldest syntax, so that an old Python gets far
enough to say what is needed.
"""

import os
import subprocess
import sys

NEEDED = (3, 11)
ROOT = os.path.dirname(os.path.abspath(__file__))
ENVIRONMENT = os.path.join(ROOT, ".venv")
STAMP = os.path.join(ENVIRONMENT, "slype-ready.txt")
UV = "uv>=0.5,<1"
NO_VENV = "On Debian or Ubuntu:\n  sudo apt install python3-venv\nthen run the same command again."
HELD = "\npackages\n"  # what the stamp says after its fingerprint
STUDIO = ["studio", "--baskets"]  # what a double click means
UNSWEPT = "import gc; gc.disable(); gc.enable = lambda: None; from mypy.__main__ import console_entry; console_entry()"
HELP = """Run slype from this folder; the first run sets up what it needs (about a minute).

  python3 run.py                       open the studio, the page where a basket is shaped
  python3 run.py demo [-o FOLDER]      make a sample basket with pictures and a pattern sheet
  python3 run.py test [PYTEST ARGS]    run the tests, the style check and the type check
  python3 run.py test quick            only the tests that your changes can touch, under a minute
  python3 run.py attack [MINUTES]      try to break it, from a seed; says what did not hold
  python3 run.py plan MY-BASKET.toml   any other words go to slype itself
  python3 run.py help                  what slype can do
"""


def environment_program(name):
    """Where the private environment keeps a program on this system."""
    parts = ("Scripts", name + ".exe") if os.name == "nt" else ("bin", name)
    return os.path.join(ENVIRONMENT, *parts)


def environment_python():
    """Where the private environment keeps its Python on this system."""
    return environment_program("python")


def fingerprint(extra):
    """What a finished install depends on: the requirements, this Python, this place on disk."""
    import hashlib

    with open(os.path.join(ROOT, "pyproject.toml"), "rb") as file:
        requirements = hashlib.sha256(file.read()).hexdigest()
    # The place matters: an editable install points at the folder, which may have been moved.
    return "\n".join([requirements, "python %d.%d" % sys.version_info[:2], ROOT, extra or "plain"])


def packages():
    """What lies in the private environment, by name without version; empty where there is none."""
    version = "python%d.%d" % sys.version_info[:2]
    parts = ("Lib", "site-packages") if os.name == "nt" else ("lib", version, "site-packages")
    try:
        found = os.listdir(os.path.join(ENVIRONMENT, *parts))
    except OSError:
        return set()
    return {name.split("-")[0] + (".info" if name.endswith("-info") else "") for name in found if name[:1] != "_"}


def ready(extra):
    """True when an install that covers `extra` was finished here, and nothing of it has gone since."""
    try:
        with open(STAMP, encoding="utf-8") as file:
            found, _, had = file.read().partition(HELD)
    except (OSError, ValueError):
        return False
    whole = bool(had) and set(had.split("\n")) <= packages()
    return whole and os.path.exists(environment_python()) and found in (fingerprint(extra), fingerprint("test"))


def wait_for_other_runs():
    """Hold a lock so that two first runs do not install over each other; let go by closing it."""
    lock = open(os.path.abspath(__file__), "rb")  # this very file: it exists, and leaves no litter
    try:
        import fcntl

        fcntl.flock(lock, fcntl.LOCK_EX)
    except (ImportError, OSError):
        pass  # Windows, or a disk that knows no locks: then two first runs at once are not guarded
    return lock


def usable_environment():
    """True when `.venv` holds a working Python of the same version as this one."""
    ask = "import sys; print('%d.%d' % sys.version_info[:2])"
    try:
        answer = subprocess.check_output([environment_python(), "-c", ask], stderr=subprocess.DEVNULL)
    except (OSError, subprocess.CalledProcessError):
        return False
    return answer.decode("ascii", "replace").strip() == "%d.%d" % sys.version_info[:2]


def make_environment(uv):
    """Make `.venv`, or keep one that works; a broken one is made anew."""
    from importlib.util import find_spec

    has_venv, has_pip = find_spec("venv") is not None, find_spec("ensurepip") is not None
    if not has_venv or not (has_pip or uv or pip_from_here()):
        sys.exit("This Python cannot make a private environment. " + NO_VENV)
    import venv

    # One that works is kept, so that adding the test tools to it is quick. A pip of its own it has once that is needed.
    builder = venv.EnvBuilder(with_pip=False, symlinks=os.name != "nt", clear=not usable_environment())
    builder.create(ENVIRONMENT)


PIP_INSTALL = ["install", "--disable-pip-version-check", "--retries", "2"]


def pip_from_here():
    """The first words of an install by the pip of this very Python, which can put things elsewhere since 22.3; none
    where it cannot. To make one for the private environment takes three seconds of a first run."""
    try:
        from importlib.metadata import version

        known = [int(part) for part in version("pip").split(".")[:2]]
    except (ImportError, ValueError):
        return []
    return [sys.executable, "-m", "pip", "--python", environment_python()] + PIP_INSTALL if known >= [22, 3] else []


def own_pip():
    """The first words of an install by the private environment's own pip, which is made where there is none yet, and
    what was said where it cannot be made: then there are no words."""
    said = None
    if "pip" not in packages():
        said = said_by([environment_python(), "-m", "ensurepip", "--default-pip"])
    return ([environment_python(), "-m", "pip"] + PIP_INSTALL, "") if said is None else ([], said)


def said_by(command):
    """What an installer that failed has said; None when it did its work."""
    # A personal "always --user" would refuse any environment. From here, so that uv reads our settings.
    surroundings = dict(os.environ, PIP_USER="0", UV_HTTP_RETRIES="2")
    child = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=surroundings, preexec_fn=ENDS_WITH_US
    )
    try:
        said = child.communicate()[0]
    except BaseException:  # stopped by hand or from outside: what was begun ends too
        child.kill()
        child.wait()
        raise
    return None if child.returncode == 0 else said.decode("utf-8", "replace")


def end_with_parent():
    """On Linux: have the system end this process with the one that began it, however that ends."""
    import ctypes
    import signal

    ctypes.CDLL(None).prctl(1, signal.SIGKILL)  # PR_SET_PDEATHSIG


ENDS_WITH_US = end_with_parent if sys.platform.startswith("linux") else None


def fetched_uv():
    """uv in the private environment: it installs in seconds what takes pip a minute. None where it cannot be had."""
    uv = environment_program("uv")
    for pip in (pip_from_here, lambda: own_pip()[0]):
        words = [] if os.path.exists(uv) else pip()
        if words:
            said_by(words + [UV])
    return uv if os.path.exists(uv) else None


def install(extra, uv):
    """Install slype and what it needs; the installer's words come back when it fails, else None."""
    target = ROOT + ("[%s]" % extra if extra else "")
    uv, said = uv or fetched_uv(), ""
    if uv:
        trouble = said_by([uv, "pip", "install", "--python", environment_python(), "-e", target])
        if trouble is None:
            return None
        said = trouble
    # uv does not read pip's settings, so where those matter pip is tried after it.
    words, trouble = own_pip()
    said += trouble
    words = words or pip_from_here()
    trouble = said_by(words + ["-e", target]) if words else ""
    return None if trouble is None else said + trouble


def why_not(said):
    """One paragraph about a failed install; the installer's own long story goes into a file."""
    log = os.path.join(ENVIRONMENT, "slype-setup.log")
    with open(log, "w", encoding="utf-8") as file:
        file.write(said)
    signs = ("connection", "resolve", "timed out", "certificate", "proxy", "network", "dns error")
    offline = any(sign in said.lower() for sign in signs)
    if "ensurepip" in said and not offline:
        return (
            "This Python could not make a pip, its installer, in the private environment. Everything it said is in\n  "
            + log + "\n" + NO_VENV
        )
    return (
        ("The package index cannot be reached" if offline else "What slype needs could not be installed")
        + ". Check the network (behind a proxy, set HTTPS_PROXY),\n"
        "then run the same command again. Everything the installer said is in\n  " + log
    )


def write_stamp(extra):
    """Record the finished install in one step, so that half a stamp is never read."""
    half = STAMP + ".new"
    with open(half, "w", encoding="utf-8") as file:
        file.write(fingerprint(extra) + HELD + "\n".join(sorted(packages())))
    os.replace(half, STAMP)


def set_up(extra):
    """Make sure slype (and with extra="test" its test tools) is installed; quick when it already is."""
    if ready(extra):
        return
    with wait_for_other_runs():
        if ready(extra):  # another run has just done it
            return
        import shutil

        sys.stderr.write("Setting up, about a minute, once...\n")
        sys.stderr.flush()
        if os.path.exists(STAMP):
            os.remove(STAMP)  # from here on the old install no longer counts
        uv = shutil.which("uv")
        make_environment(uv)
        said = install(extra, uv)
        if said is not None:
            sys.exit(why_not(said))
        write_stamp(extra)


def compiled_once():
    """The surroundings of the tests, which start Python some hundred times: each start reads its modules compiled.

    Who has forbidden Python to keep them beside their source has them in the private environment.
    """
    surroundings = dict(os.environ)
    if surroundings.pop("PYTHONDONTWRITEBYTECODE", ""):
        surroundings.setdefault("PYTHONPYCACHEPREFIX", os.path.join(ENVIRONMENT, "compiled"))
    return surroundings


def run(command, folder=None, surroundings=None):
    """Run a command to its end; its exit status, as a shell would give it."""
    child = subprocess.Popen(command, cwd=folder, env=surroundings)
    while True:
        try:
            status = child.wait()
        except KeyboardInterrupt:
            continue  # Ctrl-C has reached the child too; it says goodbye in its own way
        except SystemExit:
            child.terminate()
            raise
        return status if status >= 0 else 128 - status


def run_slype(words):
    """Hand over to slype, from the folder the caller stands in, so that file names mean what they say."""
    command = [environment_python(), "-m", "slype"] + words
    if os.name == "nt":
        return run(command)  # replacing the process there would return to the prompt too early
    os.execv(command[0], command)  # so that stopping this command stops slype itself


def run_tests(words):
    """pytest, style and types; all always run, the first failure gives the exit status."""
    python, surroundings = environment_python(), compiled_once()
    # Types are checked meanwhile, since they keep one core only; from the checkout, where their settings are. Not to
    # look for rubbish meanwhile takes a GB of memory for half a minute, and saves a quarter of the time.
    checking = subprocess.Popen([python, "-c", UNSWEPT], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    if words[:1] == ["quick"]:
        tests = run([python, os.path.join(ROOT, "tests", "support", "quick.py")] + words[1:], ROOT, surroundings)
    else:
        # From the checkout, because pytest looks for its `testpaths` only there. One worker more than there are cores:
        # some tests wait for a browser, a studio or a command, and a tenth of two cores lay idle meanwhile. Each takes
        # a run of neighbours, which share what they need, and who is done early takes over from another's end.
        workers = str((os.cpu_count() or 1) + 1)
        tests = run([python, "-m", "pytest", "-n", workers, "--dist", "worksteal"] + words, ROOT, surroundings)
    style = run([python, "-m", "ruff", "check", ROOT], ROOT)
    said = checking.communicate()[0].decode("utf-8", "replace")
    sys.stdout.write(said)
    return tests or style or checking.returncode


def main(words):
    if sys.version_info < NEEDED:
        return "slype needs Python %d.%d or newer; this is Python %d.%d. Newer ones: python.org/downloads" % (
            NEEDED + sys.version_info[:2]
        )
    if words and words[0] in ("-h", "--help"):
        print(HELP)
        return 0
    words = words or STUDIO
    testing = words[0] in ("test", "attack")
    for sign, called in ((os.pathsep, "a " + os.pathsep), ("\n", "a line end")):
        if sign in ROOT:
            return "The name of this folder holds %s, with which Python cannot set itself up:\n  %s\nRename it." % (
                called, ROOT.replace("\n", " "),
            )
    try:
        set_up("test" if testing else "")
    except (OSError, subprocess.CalledProcessError) as trouble:
        return "slype could not set itself up in %s: %s" % (ENVIRONMENT, trouble)
    except KeyboardInterrupt:
        return "Stopped before setting up was finished; the next run starts it again."
    if words[0] == "attack":
        return run([environment_python(), "-m", "attack"] + words[1:], ROOT, compiled_once())
    if testing:
        return run_tests(words[1:])
    return run_slype(["--help"] if words == ["help"] else words)


def by_double_click():
    """As `main` without a word; where a double click opened a window, it stays until its last words are read."""
    try:
        trouble = main([])
    except SystemExit as end:
        trouble = end.code
    if trouble and sys.stdin is not None and sys.stdin.isatty():
        if isinstance(trouble, str):
            sys.stderr.write(trouble + "\n")
            trouble = 1
        sys.stderr.write("Press Enter to close this window. ")
        sys.stderr.flush()
        try:
            sys.stdin.readline()
        except KeyboardInterrupt:
            pass
    return trouble


def begin():
    """Run, and say nothing to whoever has stopped reading (`run.py --help | head -1`)."""
    try:
        status = main(sys.argv[1:]) if sys.argv[1:] else by_double_click()
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    sys.exit(status)


if __name__ == "__main__":
    import signal

    # Asked to end by another program, it ends what it began as well.
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(128 + number))
    begin()
