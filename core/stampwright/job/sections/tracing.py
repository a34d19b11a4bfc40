"""The settings by which a scan, a photograph or a drawing becomes artwork; a section of the job."""

from __future__ import annotations

from dataclasses import dataclass

from ..settings import Section, setting


@dataclass(frozen=True, kw_only=True)
class TracingSection(Section):
    """How a bitmap is traced, tones are screened, and art drawn as double outlines is filled."""

    ink_by: str = setting(
        "darkness",
        "Which colours of a drawing are ink",
        choices={
            "darkness": "Those darker than a tone",
            "not-paper": "Everything that is not paper: white, or a light colour all round the page",
            "colours": "Those that are named",
        },
    )
    ink_darker_than: float = setting(
        0.5,
        "Tone below which a colour is ink when ink is told by darkness; 0 black, 1 white",
        low=0.01,
        high=0.99,
        normal=(0.3, 0.7),
    )
    ink_colours: tuple[str, ...] = setting(
        (), "Colours that are ink when they are named, such as #a0282a", kind="names"
    )
    ink_layers: tuple[str, ...] = setting(
        (), "Layers or groups of a drawing that print, by name or id; none for all", kind="names"
    )
    dpi: float = setting(
        0.0, "Resolution of the bitmap; 0 takes the one it records", unit="dpi", low=0, high=20000, normal=(150, 1200)
    )
    width: float = setting(
        0.0, "True width of the whole bitmap, in place of a resolution; 0 for none", unit="mm", low=0, high=2000
    )
    page: int = setting(1, "Page of a PDF that is read", low=1, high=10_000, normal=(1, 10))
    threshold: str = setting(
        "global",
        "What tells ink from paper",
        choices={
            "global": "One brightness, found for the whole picture",
            "local": "A brightness found round each spot: for stains and uneven light",
            "fixed": "The brightness that is set by hand",
        },
    )
    brightness: float = setting(
        0.5,
        "Brightness below which there is ink when threshold is fixed; 0 black, 1 white",
        low=0.01,
        high=0.99,
        normal=(0.3, 0.7),
    )
    window: float = setting(
        3.0,
        "Side of the square round each spot that a local threshold looks at",
        unit="mm",
        low=0.1,
        high=50,
        normal=(1, 8),
    )
    darker_by: float = setting(
        0.2,
        "How much darker than its surroundings a spot must be to be ink, for a local threshold (k of Sauvola)",
        low=0,
        high=1,
        normal=(0.1, 0.5),
    )
    flatten_light: bool = setting(True, "Even out light that falls off towards an edge or a corner")
    deskew: bool = setting(False, "Turn a scan level where its straight edges lie at a small common angle")
    negative: bool = setting(False, "The drawing is light on dark: ink is what is bright")
    dust: float = setting(
        0.15, "Spots and pinholes smaller than this across are dust", unit="mm", low=0, high=5, normal=(0.1, 0.5)
    )
    tolerance: float = setting(
        0.01,
        "How far a fitted curve may stray from the traced edge; never less than a fifth of a pixel",
        unit="mm",
        low=0.001,
        high=1,
        normal=(0.005, 0.03),
    )
    tone: str = setting(
        "none",
        "Screen the tones of a photograph or drawing into dots or lines that print",
        choices={
            "none": "Ink or paper, nothing between",
            "dots": "Dots that grow with the tone",
            "lines": "Lines that swell with the tone",
        },
    )
    screen_spacing: float = setting(
        0.0,
        "Distance from one dot or line of the screen to the next; 0 takes the finest that its limits allow",
        unit="mm",
        low=0,
        high=20,
        normal=(1.2, 4),
    )
    screen_turn: float = setting(
        45.0,
        "Turn of the screen on paper, counter-clockwise; 45 shows least (common practice)",
        unit="deg",
        low=-180,
        high=180,
        normal=(0, 90),
    )
    smallest_dot: float = setting(
        0.8,
        "Least width of a screen's dots and lines: two line widths of a 0.4 mm nozzle",
        unit="mm",
        low=0.1,
        high=10,
        normal=(0.6, 1.5),
    )
    smallest_gap: float = setting(
        0.6,
        "Least gap that a screen leaves: one line width, and the ink's spread on both sides",
        unit="mm",
        low=0.1,
        high=10,
        normal=(0.5, 1.2),
    )
    text_weight: float = setting(
        0.0,
        "Least weight of text that the program sets: lighter text gets its family's bolder cut; 0 leaves it as it is",
        low=0,
        high=1000,
        normal=(400, 900),
    )
    text_spacing: float = setting(
        0.0,
        "Space added between letters of text that the program sets, as a share of the type's size",
        low=0,
        high=1,
        normal=(0, 0.15),
    )
    double_outlines: float = setting(
        0.0,
        "Fill between outlines drawn this far apart or less, as of lines that were drawn as two; 0 leaves them alone",
        unit="mm",
        low=0,
        high=10,
        normal=(0.3, 1.5),
    )
