"""Commands that reckon and reason."""

import click


@click.command(short_help="Formulas at a desk: pipe resistance, leakage, ...")
@click.argument("name", required=False)
@click.argument("given", nargs=-1)
def calculate(name: str | None, given: tuple[str, ...]) -> None:
    """Work a formula with units, and show it with its source.

    Without NAME: the list of calculations. With NAME alone: what it needs. Each input
    is given as name=number unit. Reads and writes nothing but its output.

    Example: jointmap calculate span-current drop="0.17 mV" resistance="2.44 uohm/ft"
    length="200 ft"
    """
    from jointmap.workflows.calculate import calculate_text

    click.echo(calculate_text(name, given), nl=False)


REASONING = (calculate,)
