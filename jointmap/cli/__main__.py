"""``python -m jointmap.cli``."""

from jointmap.cli.main import main

main()
