"""Operations: everything the engine knows of one, declared in one place for each family of formats.

`declaration` says what a declaration holds, `declared` looks one up, `running` works them all; the other
modules are the declarations: `floating`, `sizes` and `whole` for the three families, `composed` for operations
made of others.
"""
