"""From the die to the paper: what a stamp prints, how hard it must be pushed, and how the print compares."""

from .impressing import (
    Comparison,
    PressedFace,
    compare,
    find_face,
    impress,
    ink_face,
    ink_outlines,
    spread_ink,
    state_face,
)
from .impression import HeightMap, Impression, Pressing
from .inking.ink import InkFilm, ink_of
from .inking.ink_pad import Inking, ink_die, ink_pad
from .inking.printing import ink_impression
from .inking.verdict import PrintFaults, judge_print
from .prediction import Prediction, impress_uneven, predict_print, stated_conditions
from .press_report import PressReport, report_press
from .pressing_figures import PressFigures, press_figures, range_in_words
from .pressure_map import PressureMap, map_pressure, pressure_on
from .pushing.advice import Advice, Design, advise
from .pushing.assumptions import (
    Assumption,
    Circumstances,
    Outcome,
    Sensitivity,
    assumptions,
    circumstances_of,
    sensitivities,
)
from .pushing.conditions import PressConditions, conditions_of, stiffness_of
from .pushing.hands import HAND_FORCES, HandForce, handle_force, pushed_with
from .pushing.off_centre import OffCentre, reach_off_centre
from .pushing.pressing import Rig, press_on_paper, push, set_up
from .pushing.push_curve import WHOLE, PushCurve, force_to_print, push_curve
from .trial import Trial, try_on_paper
from .unbending import AXES, Unbent, repeats_in, rolled_on, unbend

__all__ = [
    "AXES",
    "HAND_FORCES",
    "WHOLE",
    "Advice",
    "Assumption",
    "Circumstances",
    "Comparison",
    "Design",
    "HandForce",
    "HeightMap",
    "Impression",
    "InkFilm",
    "Inking",
    "OffCentre",
    "Outcome",
    "Prediction",
    "PressConditions",
    "PressFigures",
    "PressReport",
    "PressedFace",
    "Pressing",
    "PressureMap",
    "PrintFaults",
    "PushCurve",
    "Rig",
    "Sensitivity",
    "Trial",
    "Unbent",
    "advise",
    "assumptions",
    "circumstances_of",
    "compare",
    "conditions_of",
    "find_face",
    "force_to_print",
    "handle_force",
    "impress",
    "impress_uneven",
    "ink_die",
    "ink_face",
    "ink_impression",
    "ink_of",
    "ink_outlines",
    "ink_pad",
    "judge_print",
    "map_pressure",
    "predict_print",
    "press_figures",
    "press_on_paper",
    "pressure_on",
    "push",
    "push_curve",
    "pushed_with",
    "range_in_words",
    "reach_off_centre",
    "repeats_in",
    "report_press",
    "rolled_on",
    "sensitivities",
    "set_up",
    "spread_ink",
    "state_face",
    "stated_conditions",
    "stiffness_of",
    "try_on_paper",
    "unbend",
]
