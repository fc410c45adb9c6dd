"""The dialogs' pages stand round the same shop job as the panels."""

from tests.app.panels.conftest import bench, keep

__all__ = ["bench", "keep"]
