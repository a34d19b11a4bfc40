"""Markers: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

RULES = {
    "marker-end": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" orient="auto"><path d="M0 0L4 2 0 4z"/></marker><path d="M20 80L50 20 80 60" fill="none" stroke="#000" stroke-width="5" marker-end="url(#m)"/>',
    ),
    "marker-all": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2"><circle cx="2" cy="2" r="2"/></marker><polyline points="20,80 50,20 80,60" fill="none" stroke="#000" stroke-width="5" style="marker:url(#m)"/>',
    ),
    "marker-user-space": (
        "13.7",
        '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="20" refX="10" refY="10"><rect width="20" height="20"/></marker><path d="M20 80L50 20 80 60" fill="none" stroke="#000" stroke-width="5" marker-mid="url(#m)"/>',
    ),
    "marker-view-box": (
        "13.7",
        '<marker id="m" markerWidth="5" markerHeight="5" refX="5" refY="5" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></marker><path d="M20 80L80 60" stroke="#000" stroke-width="4" marker-start="url(#m)"/>',
    ),
    "marker-angle": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" orient="45"><rect width="4" height="4"/></marker><path d="M50 50h30" stroke="#000" stroke-width="6" marker-start="url(#m)"/>',
    ),
    "marker-start-reverse": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto-start-reverse"><path d="M0 0L4 2 0 4z"/></marker><path d="M40 50h30" stroke="#000" stroke-width="5" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-clipped": (
        "13.7",
        '<marker id="m" markerWidth="2" markerHeight="2"><circle r="3"/></marker><path d="M50 50h30" stroke="#000" stroke-width="6" marker-start="url(#m)"/>',
    ),
    "marker-on-curve": (
        "13.7",
        '<marker id="m" markerWidth="3" markerHeight="3" refX="0" refY="1.5" orient="auto"><path d="M0 0L3 1.5 0 3z"/></marker><path d="M20 70C20 10 80 10 80 70" fill="none" stroke="#000" stroke-width="5" marker-end="url(#m)" marker-start="url(#m)"/>',
    ),
    "marker-context-stroke": (
        "13.4",
        '<marker id="m" markerWidth="3" markerHeight="3" refX="1.5" refY="1.5"><circle cx="1.5" cy="1.5" r="1.5" fill="context-stroke"/></marker><path d="M20 30H60" stroke="#000" stroke-width="9" marker-end="url(#m)"/><path d="M20 60H60" stroke="#ddd" stroke-width="9" marker-end="url(#m)"/>',
    ),
    "use-context-fill": (
        "13.4",
        '<defs><rect id="r" width="30" height="30" fill="context-fill"/></defs><use href="#r" x="10" y="10"/><use href="#r" x="50" y="50" fill="#eee"/>',
    ),
    "marker-viewbox-nested": (
        "13.7.1",
        '<marker id="m" viewBox="0 0 10 10" markerWidth="4" markerHeight="4" refX="5" refY="5" orient="auto"><path d="M0 0L10 5L0 10z"/></marker><path d="M20 20L50 70L80 20" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-orient-negative": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="8" orient="-45"><rect width="8" height="4"/></marker><path d="M20 50h60" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-orient-rad": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="8" orient="0.5turn"><rect width="8" height="4"/></marker><path d="M50 50h30" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-inherit-g": (
        "13.7.4",
        '<marker id="m" markerWidth="8" markerHeight="8"><rect width="4" height="4"/></marker><g marker="url(#m)"><path d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4"/></g>',
    ),
    "marker-prop-style": (
        "13.7.4",
        '<marker id="m" markerWidth="8" markerHeight="8"><rect width="4" height="4"/></marker><path style="marker:url(#m)" d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4"/>',
    ),
    "marker-on-rect": (
        "13.7.2",
        '<marker id="m" markerWidth="8" markerHeight="8"><rect width="4" height="4"/></marker><rect x="20" y="20" width="60" height="60" marker-start="url(#m)" fill="none" stroke="#000" stroke-width="4"/>',
        '<rect x="20" y="20" width="60" height="60" fill="none" stroke="#000" stroke-width="4"/>',
    ),
    "marker-on-circle": (
        "13.7.2",
        '<marker id="m" markerWidth="8" markerHeight="8"><rect width="4" height="4"/></marker><circle cx="50" cy="50" r="40" marker-start="url(#m)" fill="none" stroke="#000" stroke-width="4"/>',
        '<circle cx="50" cy="50" r="40" fill="none" stroke="#000" stroke-width="4"/>',
    ),
    "marker-no-stroke": (
        "13.7.1",
        '<marker id="m" markerWidth="20" markerHeight="20"><rect width="20" height="20"/></marker><path d="M20 20h30v30" fill="none" marker-end="url(#m)"/>',
    ),
    "marker-recursive": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="8"><path d="M0 0h4v4z" marker-start="url(#m)"/></marker><path d="M20 20h30v30z" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-nested": (
        "13.7.1",
        '<marker id="n" markerWidth="8" markerHeight="8"><rect width="3" height="3"/></marker><marker id="m" markerWidth="8" markerHeight="8"><path d="M0 0h4v4z" marker-start="url(#n)"/></marker><path d="M20 20h30v30z" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-opacity": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="8" opacity=".3"><rect width="8" height="8"/></marker><path d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
        '<path d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4"/>',
    ),
    "marker-visibility-child": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="8"><rect width="8" height="8"/></marker><path visibility="hidden" d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/><path d="M60 60h30v30z"/>',
    ),
    "marker-with-text": (
        "13.7.1",
        '<marker id="m" markerWidth="20" markerHeight="20" overflow="visible"><text font-size="10" font-family="Noto Sans">A</text></marker><path d="M20 40h30" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-percent": (
        "8.9",
        '<marker id="m" markerWidth="20%" markerHeight="10%" markerUnits="userSpaceOnUse"><rect width="40" height="40"/></marker><path d="M20 40h30" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-currentcolor": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="8" color="white"><rect width="8" height="8" fill="currentColor" stroke="#000"/></marker><path d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4" color="black" marker-end="url(#m)"/>',
    ),
    "ctx-use-gradient": (
        "13.4",
        '<defs><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><g id="r"><rect x="0" y="0" width="20" height="30" fill="context-fill"/><rect x="25" width="15" height="30" fill="context-fill"/></g></defs><use href="#r" x="20" y="20" fill="url(#g)"/>',
    ),
    "ctx-use-gradient-stroke": (
        "13.4",
        '<defs><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><g id="r"><path d="M0 5H60M0 20H30" fill="none" stroke-width="8" stroke="context-stroke"/></g></defs><use href="#r" x="20" y="20" stroke="url(#g)"/>',
    ),
    "ctx-use-pattern": (
        "13.4",
        '<defs><pattern id="p" width=".25" height=".25"><rect width="6" height="6"/></pattern><g id="r"><rect x="0" y="0" width="20" height="30" fill="context-fill"/><rect x="25" width="15" height="30" fill="context-fill"/></g></defs><use href="#r" x="20" y="20" fill="url(#p)"/>',
    ),
    "ctx-use-pattern-user": (
        "13.4",
        '<defs><pattern id="p" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="6" height="6"/></pattern><g id="r"><rect x="0" y="0" width="20" height="30" fill="context-fill"/><rect x="25" width="15" height="30" fill="context-fill"/></g></defs><use href="#r" x="23" y="23" fill="url(#p)"/>',
    ),
    "ctx-use-pattern-inner-transform": (
        "13.4",
        '<defs><pattern id="p" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="6" height="6"/></pattern><g id="r"><rect width="30" height="20" transform="translate(5 5) rotate(30)" fill="context-fill"/></g></defs><use href="#r" x="23" y="23" fill="url(#p)"/>',
    ),
    "ctx-use-gradient-user": (
        "13.4",
        '<defs><linearGradient id="g" gradientUnits="userSpaceOnUse" x1="10" x2="50"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><g id="r"><rect x="0" y="0" width="20" height="30" fill="context-fill"/><rect x="25" width="15" height="30" fill="context-fill"/></g></defs><use href="#r" x="20" y="20" fill="url(#g)"/>',
    ),
    "ctx-use-fill-in-stroke": (
        "13.4",
        '<defs><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect id="r" width="50" height="50" fill="none" stroke-width="10" stroke="context-fill"/></defs><use href="#r" x="20" y="20" fill="url(#g)" stroke="none"/>',
    ),
    "ctx-use-nested": (
        "13.4",
        '<defs><g id="r"><rect x="0" y="0" width="20" height="30" fill="context-fill"/><rect x="25" width="15" height="30" fill="context-fill"/></g><use id="u" href="#r" fill="context-fill" x="5"/></defs><use href="#u" x="20" y="20" fill="#ccc"/><use href="#u" x="20" y="60" fill="#111"/>',
    ),
    "ctx-use-currentcolor": (
        "13.4",
        '<defs><rect id="r" width="30" height="30" fill="context-fill" color="#fff"/></defs><use href="#r" x="20" y="20" color="#000" fill="currentColor"/>',
    ),
    "ctx-use-in-symbol": (
        "13.4",
        '<defs><symbol id="s" viewBox="0 0 10 10"><rect width="8" height="8" fill="context-fill"/></symbol><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient></defs><use href="#s" width="60" height="60" x="20" y="20" fill="url(#g)"/>',
    ),
    "ctx-marker-gradient-fill": (
        "13.4",
        '<defs><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3" orient="auto"><rect width="6" height="6" fill="context-fill"/></marker></defs><path d="M20 20H80V80"  fill="url(#g)" stroke-width="5" stroke="#777" marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"/>',
    ),
    "ctx-marker-gradient-stroke": (
        "13.4",
        '<defs><linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3" orient="auto"><rect width="6" height="6" fill="context-stroke"/></marker></defs><path d="M20 20H80V80" fill="none" stroke="url(#g)" stroke-width="5"  marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"/>',
    ),
    "ctx-marker-pattern-stroke": (
        "13.4",
        '<defs><pattern id="p" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="6" height="6"/></pattern><marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3" orient="auto"><rect width="6" height="6" fill="context-stroke"/></marker></defs><path d="M20 20H80V80" fill="none" stroke="url(#p)" stroke-width="5"  marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"/>',
    ),
    "ctx-marker-pattern-box-stroke": (
        "13.4",
        '<defs><pattern id="p" width=".25" height=".25"><rect width="6" height="6"/></pattern><marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3" orient="auto"><rect width="6" height="6" fill="context-stroke"/></marker></defs><path d="M20 20H80V80" fill="none" stroke="url(#p)" stroke-width="5"  marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"/>',
    ),
    "ctx-marker-in-use": (
        "13.4",
        '<defs><marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3" orient="auto"><rect width="6" height="6" fill="context-stroke"/></marker><path id="q" d="M20 20H80V80" fill="none" stroke-width="5" stroke="context-stroke" marker-end="url(#m)"/></defs><use href="#q" stroke="#000"/>',
    ),
    "marker-closed-start": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H80V80z" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)"/>',
    ),
    "marker-closed-mid": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H80V80z" fill="none" stroke="#000" stroke-width="4" marker-mid="url(#m)"/>',
    ),
    "marker-two-sub-start": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H50V40zM50 60H80V80z" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)"/>',
    ),
    "marker-two-sub-end": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H50V40zM50 60H80V80z" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-polygon-start": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><polygon points="20,20 80,30 50,80" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)"/>',
    ),
    "marker-closed-same-mid": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H80V80L20 20z" fill="none" stroke="#000" stroke-width="4" marker-mid="url(#m)"/>',
    ),
    "marker-closed-same-end": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H80V80L20 20z" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
    ),
    "marker-many-move-start": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M10 10M20 20H60" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)"/>',
    ),
    "marker-zero-len-mid-mid": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H50h0V70" fill="none" stroke="#000" stroke-width="4" marker-mid="url(#m)"/>',
    ),
    "marker-pct-ref": (
        "13.7.1",
        '<marker id="m" markerWidth="20" markerHeight="10" refX="50%" refY="50%"><rect width="3" height="4"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-pct-ref-vb": (
        "13.7.1",
        '<marker id="m" markerWidth="5" markerHeight="5" viewBox="0 0 10 10" refX="50%" refY="50%"><rect width="10" height="10"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-pct-size-stroke": (
        "13.7.1",
        '<marker id="m" markerWidth="5%" markerHeight="4%"><rect width="40" height="40"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-pct-inner": (
        "13.7.1",
        '<marker id="m" markerWidth="6" markerHeight="6" viewBox="0 0 10 10"><rect width="50%" height="50%"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-names": (
        "13.7.1",
        '<marker id="m" markerWidth="6" markerHeight="6" refX="center" refY="center" viewBox="0 0 10 10"><rect width="10" height="10"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-auto-w": (
        "13.7.1",
        '<marker id="m" markerWidth="bad" markerHeight="6"><rect width="10" height="10"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-par-slice": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="4" viewBox="0 0 10 10" preserveAspectRatio="xMinYMin slice"><circle cx="5" cy="5" r="5"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-meet-over": (
        "13.7.1",
        '<marker id="m" markerWidth="8" markerHeight="4" viewBox="0 0 10 10"><rect x="-5" width="20" height="10"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-clip-path": (
        "13.7.1",
        '<clipPath id="c"><rect width="3" height="3"/></clipPath><marker id="m" markerWidth="6" markerHeight="6" clip-path="url(#c)"><rect width="6" height="6"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
        '<path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4"/><rect x="20" y="30" width="12" height="12"/><rect x="60" y="70" width="12" height="12"/>',
    ),
    "marker-mask": (
        "13.7.1",
        '<mask id="c" maskUnits="userSpaceOnUse" x="0" y="0" width="6" height="6"><rect width="3" height="3" fill="#fff"/></mask><marker id="m" markerWidth="6" markerHeight="6" mask="url(#c)"><rect width="6" height="6"/></marker><path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4" marker-start="url(#m)" marker-end="url(#m)"/>',
        '<path d="M20 30H60V70" fill="none" stroke="#000" stroke-width="4"/><rect x="20" y="30" width="12" height="12"/><rect x="60" y="70" width="12" height="12"/>',
    ),
    "marker-closed-end": (
        "13.7.4",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto"><path d="M0 0L4 2L0 4z"/></marker><path d="M20 20H80V80z" fill="none" stroke="#000" stroke-width="4" marker-end="url(#m)"/>',
        '<path d="M20 20H80V80z" fill="none" stroke="#000" stroke-width="4"/><path transform="translate(20 20) rotate(-67.5) scale(4) translate(0 -2)" d="M0 0L4 2L0 4z"/>',
    ),
}
