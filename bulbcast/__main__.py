"""Entry point of `python -m bulbcast`."""

from bulbcast.cli.main import main

main()
