"""The Kubernetes manifests against the schemas that Kubernetes publishes (kubernetes-validate carries them)."""

from __future__ import annotations

from pathlib import Path

import kubernetes_validate
import yaml

__all__ = ["VERSIONS", "manifest_errors"]

FOLDER = Path(__file__).resolve().parents[2] / "docker" / "kubernetes"
VERSIONS = ("1.29", "1.33", kubernetes_validate.latest_version())


def manifest_errors() -> tuple[int, list[str]]:
    """How many were checked, over all versions, and what is wrong with them."""
    checked, errors = 0, []
    for file in sorted(FOLDER.glob("*.yaml")):
        for manifest in yaml.safe_load_all(file.read_text(encoding="utf-8")):
            for version in VERSIONS:
                checked += 1
                try:
                    kubernetes_validate.validate(manifest, version, strict=True)
                except kubernetes_validate.ValidationError as wrong:
                    errors.append(f"{manifest['kind']}, Kubernetes {version}: {wrong}")
    return checked, errors
