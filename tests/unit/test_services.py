"""The services that tests start for themselves are really there."""

import subprocess

import pytest
import sqlalchemy


@pytest.mark.postgres
def test_a_postgres_of_our_own_answers(postgres_url):
    engine = sqlalchemy.create_engine(postgres_url)
    with engine.connect() as connection:
        assert connection.scalar(sqlalchemy.text("SHOW server_encoding")) == "UTF8"
    engine.dispose()


@pytest.mark.browser
def test_chromium_starts(chromium):
    said = subprocess.run(
        [chromium, "--version"], check=True, capture_output=True, text=True
    )
    assert "Chrom" in said.stdout
