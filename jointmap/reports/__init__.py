"""Pages, sheets and dossiers as text, filled from plain views.

``every_report`` lists every report by name: the view it takes and what makes its text.
It loads every view and template; a command that prints a few lines needs none of them.
"""
