"""Put every example of the contract to the service of this environment, in process; end with 1 where one fails.

An environment that was trimmed too far fails here, while the image is built.
"""

from __future__ import annotations

import sys

from kettlewright.api.document.openapi import examples_of
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.app import create_app
from kettlewright.settings import Settings


def main() -> int:
    """Send them in every form and language; print what failed."""
    client = create_app(Settings()).test_client()
    sent, failed = 0, []
    for operation in OPERATIONS.values():
        bodies = [one["body"] for one in examples_of(operation.name)] if operation.method == "POST" else []
        for number, body in enumerate(bodies, 1):
            for query in ("", *(f"?format={form}" for form in operation.faces)):
                for locale in ("en", "de"):
                    reply = client.post(operation.path + query, json={**body, "locale": locale})
                    sent += 1
                    if reply.status_code != 200 and not (query and reply.status_code == 422):  # a form that needs more
                        what = f"{operation.path}{query} {number} {locale}"
                        failed.append(f"{what}: {reply.status_code} {reply.text[:300]}")
    for path in ("/healthz", "/readyz", "/version", "/", "/docs", "/openapi.json", "/v1/fats"):
        sent += 1
        if client.get(path, follow_redirects=True).status_code != 200:
            failed.append(path)
    print(f"{sent} requests, {len(failed)} failed", *failed[:20], sep="\n")
    return 1 if failed or sent < 50 else 0


if __name__ == "__main__":
    sys.exit(main())
