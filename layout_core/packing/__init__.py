"""Where pieces go on a sheet."""
