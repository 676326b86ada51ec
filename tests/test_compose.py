"""The services of compose.yaml: well formed by the published schema, and each command one that runs here."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parent.parent
BIN = Path(sys.executable).parent
COMPOSE = yaml.safe_load((ROOT / "compose.yaml").read_text())
OURS = {name: service for name, service in COMPOSE["services"].items() if "build" in service}

# What makes a command stop once it has understood its arguments and found our application.
REHEARSAL = {"gunicorn": ["--check-config"], "celery": ["--help"], "python": []}
ENDLESS = {"mqtt": ["--help"]}  # ours, which would listen on


def test_the_file_keeps_to_the_compose_specification():
    # The schema that the Compose Specification publishes, as check-jsonschema carries it.
    command = [BIN / "check-jsonschema", "--builtin-schema", "vendor.compose-spec", ROOT / "compose.yaml"]
    looked = subprocess.run(command, capture_output=True, text=True)
    assert looked.returncode == 0, looked.stdout


@pytest.mark.parametrize("name", OURS)
def test_a_service_starts_with_the_command_it_is_given(name, tmp_path):
    program, *arguments = OURS[name]["command"]
    rehearse([program, *arguments, *ENDLESS.get(name, REHEARSAL[program])], tmp_path)


def test_the_image_collects_its_static_files(tmp_path):
    rehearse(["python", "manage.py", "collectstatic", "--no-input"], tmp_path)
    assert (tmp_path / "static" / "staticfiles.json").exists()


def rehearse(command: list[str], folder: Path) -> None:
    """Run a command as a container would, but for the database and the queue."""
    environment = {
        "PATH": f"{BIN}{os.pathsep}{os.environ['PATH']}",
        "HUB_SECRET_KEY": "only-for-tests",
        "HUB_DATA": str(folder / "data"),
        "HUB_STATIC": str(folder / "static"),
        "DATABASE_URL": f"sqlite:///{folder / 'hub.sqlite3'}",
        "REDIS_URL": "redis://127.0.0.1:1/0",  # nobody there: a rehearsal sends nothing
    }
    tried = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=120)
    assert tried.returncode == 0, tried.stderr


def test_a_service_waits_for_what_it_needs():
    for name, service in OURS.items():
        for needed, how in service["depends_on"].items():
            healthy = how["condition"] == "service_healthy"
            assert not healthy or "healthcheck" in COMPOSE["services"][needed], f"{name} waits for {needed}"


def test_no_secret_is_written_down():
    asked_for = [OURS["web"]["environment"][name] for name in ("HUB_SECRET_KEY", "DATABASE_URL")]
    asked_for.append(COMPOSE["services"]["database"]["environment"]["POSTGRES_PASSWORD"])
    assert all(":?" in value for value in asked_for)


def test_every_image_names_its_version():
    images = [service["image"] for service in COMPOSE["services"].values()]
    images.append((ROOT / "Dockerfile").read_text().split("FROM ")[1].split()[0])
    assert all(":" in image and not image.endswith(":latest") for image in images)
