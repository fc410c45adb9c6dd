"""The error log never grows without end and never breaks anything itself."""

from app import error_log
from app.error_log import log_path, write_trace
from layout_core.user_folders import state_folder


def raised(text: str) -> Exception:
    try:
        raise RuntimeError(text)
    except RuntimeError as error:
        return error


def test_traces_are_kept_one_after_the_other() -> None:
    write_trace(raised("first"))
    write_trace(raised("second \udce9"))
    text = log_path().read_text(encoding="utf-8")
    assert text.index("first") < text.index("second")
    assert "in raised" in text


def test_full_log_begins_anew() -> None:
    write_trace(raised("old"))
    with log_path().open("a", encoding="utf-8") as file:
        file.write("x" * error_log.MOST_BYTES)
    write_trace(raised("new"))
    assert log_path().stat().st_size < 10_000
    assert "old" not in log_path().read_text(encoding="utf-8")


def test_log_that_cannot_be_written_is_done_without() -> None:
    state_folder().write_bytes(b"")
    write_trace(raised("lost"))
    assert state_folder().read_bytes() == b""
