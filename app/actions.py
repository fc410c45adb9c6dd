"""Every action of the window by name, with text, key, icon and accessible name, and when it can be used."""

from collections.abc import Callable, Iterator
from functools import partial

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence

from app.action_table import ACTIONS, ActionSpec, Menu
from app.chosen import Chosen
from app.made_art import made_of
from app.theme import icon
from app.viewing import VIEWS
from app.wiring import Workbench

_PACK_WISHES = ("pack_in_holes", "pack_straight_cuts", "pack_any_angle")


class Actions(QObject):
    """The actions; `actions["undo"]` is one. What needs the window is given to it by `on`.

    Those on the undo stack, the chosen pieces and the settings work at once. Actions are enabled as the
    job and the selection allow; one that nobody has given a deed to yet is disabled.
    """

    def __init__(self, workbench: Workbench, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench = workbench
        self.chosen = Chosen(workbench.document, workbench.selection)
        self._specs = {spec.name: spec for spec in ACTIONS}
        self._actions = {spec.name: self._made(spec) for spec in ACTIONS}
        self._deeds: dict[str, Callable[[], object]] = {}
        for name, action in self._actions.items():
            action.triggered.connect(lambda _checked=False, name=name: self._deeds[name]())
        self._join_own_deeds()
        workbench.document.job_changed.connect(self.refresh)
        workbench.document.saved_changed.connect(self.refresh)
        workbench.selection.changed.connect(self.refresh)
        workbench.settings.changed.connect(self.refresh)
        workbench.packing.running_changed.connect(self.refresh)
        workbench.viewing.view_changed.connect(self.refresh)
        workbench.document.undo_stack.indexChanged.connect(self.refresh)
        workbench.theming.changed.connect(self._tint)
        self._tint()
        self.refresh()

    def __getitem__(self, name: str) -> QAction:
        return self._actions[name]

    def __iter__(self) -> Iterator[QAction]:
        return iter(self._actions.values())

    def on(self, name: str, deed: Callable[[], object]) -> None:
        """Give an action its deed, in place of the one it had."""
        self._deeds[name] = deed
        self.refresh()

    def of_menu(self, menu: Menu) -> tuple[tuple[QAction, bool], ...]:
        """The actions of a menu in order, each with whether a separator goes before it."""
        return tuple((self._actions[s.name], s.begins_group) for s in ACTIONS if s.menu == menu)

    def refresh(self) -> None:
        """Enable, check and name the actions as the job, the selection and the settings are now."""
        document, selection, settings = self._bench.document, self._bench.selection, self._bench.settings
        stack, has_placed = document.undo_stack, bool(selection.placed_ids)
        usable = dict.fromkeys(("cut", "copy", "duplicate", "turn_right", "turn_left", "lock"), has_placed)
        usable |= {
            "undo": stack.canUndo(),
            "redo": stack.canRedo(),
            "delete": has_placed or selection.piece_id is not None,
            "select_none": has_placed or selection.piece_id is not None,
            "select_all": any(sheet.placed for sheet in document.job.sheets),
            "autopack": bool(document.job.pieces) and not self._bench.packing.is_running,
            "shorten": bool(document.job.pieces) and not self._bench.packing.is_running,
            "change_made": self._is_made(selection.piece_id),
            "remove_sheet": len(document.job.sheets) > 1,
            "proof": any(sheet.placed for sheet in document.job.sheets),
        }
        for name, action in self._actions.items():
            action.setEnabled(name in self._deeds and usable.get(name, True))
        self._actions["lock"].setChecked(self.chosen.are_locked)
        self._actions["snap"].setChecked(settings.snapping)
        self._actions["inches"].setChecked(settings.unit == "in")
        for name in _PACK_WISHES:
            self._actions[name].setChecked(getattr(settings.choices, name))
        for view, _ in VIEWS:
            self._actions[f"view_{view}"].setChecked(view == self._bench.viewing.view)
        self._actions["undo"].setText(_with_step("&Undo", stack.undoText()))
        self._actions["redo"].setText(_with_step("&Redo", stack.redoText()))

    def _is_made(self, piece_id: int | None) -> bool:
        """Whether the program made the art of the piece, so that it can be made otherwise."""
        job = self._bench.document.job
        return piece_id is not None and made_of(job.art(job.piece(piece_id).art_id)) is not None

    def key_list(self) -> tuple[tuple[str, str], ...]:
        """Every key with what it does, in the order of the menus, generated from the actions."""
        return tuple(
            (key.toString(QKeySequence.SequenceFormat.NativeText), self._specs[name].does)
            for name, action in self._actions.items()
            for key in action.shortcuts()
        )

    def _made(self, spec: ActionSpec) -> QAction:
        action = QAction(spec.text, self)
        action.setObjectName(spec.name)
        action.setCheckable(spec.checkable)
        action.setShortcuts(_keys_of(spec))
        action.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        tip = _tip(spec, action.shortcut())
        action.setToolTip(tip)
        action.setStatusTip(spec.does)
        action.setWhatsThis(spec.does)
        return action

    def _tint(self) -> None:
        for name, spec in self._specs.items():
            if spec.icon:
                self._actions[name].setIcon(icon(spec.icon, self._bench.theme))

    def _join_own_deeds(self) -> None:
        document, settings, chosen = self._bench.document, self._bench.settings, self.chosen
        self.on("undo", document.undo_stack.undo)
        self.on("redo", document.undo_stack.redo)
        self.on("duplicate", chosen.duplicate)
        self.on("delete", chosen.delete)
        self.on("turn_right", lambda: chosen.turn(90.0))
        self.on("turn_left", lambda: chosen.turn(-90.0))
        self.on("lock", chosen.toggle_lock)
        self.on("select_all", chosen.choose_all)
        self.on("select_none", self._bench.selection.clear)
        self.on("snap", lambda: settings.change(snapping=not settings.snapping))
        self.on("inches", lambda: settings.change(unit="mm" if settings.unit == "in" else "in"))
        self.on("next_theme", self._change_theme)
        for name in _PACK_WISHES:
            self.on(name, partial(self._flip, name))
        for view, _ in VIEWS:
            self.on(f"view_{view}", partial(self._bench.viewing.look_at, view))

    def _flip(self, choice: str) -> None:
        settings = self._bench.settings
        settings.change(**{choice: not getattr(settings.choices, choice)})

    def _change_theme(self) -> None:
        self._bench.settings.change(theme="light" if self._bench.theme.name == "dark" else "dark")


def _keys_of(spec: ActionSpec) -> list[QKeySequence]:
    """The keys of an action on this system; of a standard key only the first, so that none is there twice."""
    keys: list[QKeySequence] = []
    if isinstance(spec.key, QKeySequence.StandardKey):
        keys += QKeySequence.keyBindings(spec.key)[:1]
    elif spec.key is not None:
        keys.append(QKeySequence(spec.key))
    if spec.also is not None and QKeySequence(spec.also) not in keys:
        keys.append(QKeySequence(spec.also))
    return keys


def _tip(spec: ActionSpec, key: QKeySequence) -> str:
    shown = key.toString(QKeySequence.SequenceFormat.NativeText)
    return f"{spec.does} ({shown})" if shown else spec.does


def _with_step(verb: str, step: str) -> str:
    """ "&Undo move piece" for the step "Move piece"; an ampersand in a name is no mnemonic."""
    shown = step.replace("&", "&&")
    return f"{verb} {shown[:1].lower()}{shown[1:]}" if step else verb
