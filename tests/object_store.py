"""An object store that speaks S3, on this machine, for the tests."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

import boto3
from moto.server import ThreadedMotoServer

FOLDER = "shop"
KEYS = {"aws_access_key_id": "tests", "aws_secret_access_key": "tests-only"}


@dataclass
class Store:
    """A store with one empty bucket."""

    server: ThreadedMotoServer
    url: str
    client: Any
    bucket: str

    @property
    def told(self) -> dict[str, str]:
        """What a shop that uses it is told by its environment."""
        return {
            "MEDIA_STORE": f"s3://{self.bucket}/{FOLDER}?endpoint={self.url}&region=us-east-1",
            "MEDIA_KEY_ID": KEYS["aws_access_key_id"],
            "MEDIA_SECRET": KEYS["aws_secret_access_key"],
        }

    def storage(self, spool: Path) -> dict[str, Any]:
        """The entry for Django's STORAGES."""
        options = {
            "spool": spool, "bucket_name": self.bucket, "location": FOLDER,
            "endpoint_url": self.url, "region_name": "us-east-1",
            "access_key": KEYS["aws_access_key_id"],
            "secret_key": KEYS["aws_secret_access_key"],
        }  # fmt: skip
        return {"BACKEND": "shop.files.objects.ObjectStorage", "OPTIONS": options}

    def files(self) -> dict[str, bytes]:
        """Everything in the bucket, by its name below the folder."""
        found = self.client.list_objects_v2(Bucket=self.bucket).get("Contents", [])
        return {
            each["Key"].removeprefix(f"{FOLDER}/"): self.client.get_object(
                Bucket=self.bucket, Key=each["Key"]
            )["Body"].read()
            for each in found
        }

    def put(self, name: str, content: bytes) -> None:
        """Put something there by hand."""
        self.client.put_object(Bucket=self.bucket, Key=f"{FOLDER}/{name}", Body=content)


@contextmanager
def running() -> Iterator[Store]:
    """A server of its own, gone afterwards."""
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    try:
        host, port = server.get_host_and_port()
        url = f"http://{host}:{port}"
        client = boto3.client("s3", endpoint_url=url, region_name="us-east-1", **KEYS)
        bucket = f"larkhill-{uuid4().hex[:8]}"  # servers of one process share what they hold
        client.create_bucket(Bucket=bucket)
        yield Store(server, url, client, bucket)
        client.close()
    finally:
        server.stop()
