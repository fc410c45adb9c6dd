"""A cap on the memory of the process that asks for it; a module of its own, as workers start with it."""


def limit_memory(most_bytes: int) -> None:
    """Cap the address space and forbid core files where the system can; Windows and macOS go without."""
    try:
        import resource
    except ImportError:
        return
    for name, most in (("RLIMIT_AS", most_bytes), ("RLIMIT_CORE", 0)):
        number = getattr(resource, name, None)
        if number is None:
            continue
        try:
            _, hard = resource.getrlimit(number)
            wanted = most if hard == resource.RLIM_INFINITY else min(most, hard)
            resource.setrlimit(number, (wanted, hard))
        except (ValueError, OSError):
            continue
