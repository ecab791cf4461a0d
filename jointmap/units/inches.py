"""Inch units as exact factors, for published values and for showing both systems.

All follow from two definitions: 1 in = 0.0254 m and 1 lb = 0.45359237 kg, with standard
gravity 9.80665 m/s2. Text with a unit still goes through ``read_quantity``.
"""

INCH_METRE = 0.0254
SQUARE_INCH_SQUARE_METRE = INCH_METRE**2
POUND_FORCE_NEWTON = 0.45359237 * 9.80665
PSI_PASCAL = POUND_FORCE_NEWTON / SQUARE_INCH_SQUARE_METRE
KSI_PASCAL = 1000.0 * PSI_PASCAL
FOOT_POUND_NEWTON_METRE = POUND_FORCE_NEWTON * 12.0 * INCH_METRE
VOLT_PER_MIL_VOLT_PER_METRE = 1000.0 / INCH_METRE
