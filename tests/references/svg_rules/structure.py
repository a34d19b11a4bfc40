"""Structure: use, symbol, nested svg, switch, pictures: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
    "use": (
        "5.6",
        '<defs><circle id="c" r="20"/></defs><use href="#c" x="30" y="30"/><use xlink:href="#c" x="70" y="70"/>',
    ),
    "use-transform": (
        "5.6",
        '<defs><rect id="c" width="20" height="20"/></defs><use href="#c" x="30" y="10" transform="rotate(30)"/>',
    ),
    "use-inherits": (
        "5.6",
        '<defs><rect id="c" width="30" height="30"/></defs><use href="#c" fill="#fff"/><use href="#c" x="50" y="50"/>',
    ),
    "use-of-group": (
        "5.6",
        '<defs><g id="g"><rect width="20" height="20"/><circle cx="30" cy="30" r="10"/></g></defs><use href="#g" x="20" y="20"/>',
    ),
    "use-of-use": (
        "5.6",
        '<defs><rect id="a" width="20" height="20"/><use id="b" href="#a" x="10"/></defs><use href="#b" x="30" y="30"/>',
    ),
    "use-missing": ("5.6", '<use href="#nothing"/><path d="M10 10h50v50z"/>'),
    "use-circular": ("5.6", '<g id="a"><use href="#a"/></g><path d="M10 10h50v50z"/>'),
    "use-before-definition": ("5.6", '<use href="#c" x="30" y="30"/><defs><circle id="c" r="20"/></defs>'),
    "symbol": (
        "5.5",
        '<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="6"/></symbol><use href="#s" x="20" y="20" width="60" height="40"/>',
    ),
    "symbol-overflow-visible": (
        "5.5",
        '<symbol id="s" viewBox="0 0 10 10" overflow="visible"><circle cx="5" cy="5" r="6"/></symbol><use href="#s" x="20" y="20" width="60" height="40"/>',
    ),
    "symbol-not-drawn": ("5.5", '<symbol id="s"><rect width="50" height="50"/></symbol><path d="M60 60h30v30z"/>'),
    "nested-svg": (
        "8.2",
        '<svg x="10" y="20" width="50" height="40" viewBox="0 0 10 10"><circle cx="5" cy="5" r="6"/></svg>',
    ),
    "nested-svg-slice": (
        "8.6",
        '<svg x="10" y="20" width="50" height="40" viewBox="0 0 10 10" preserveAspectRatio="xMinYMax slice"><circle cx="5" cy="5" r="5"/></svg>',
    ),
    "nested-svg-none": (
        "8.6",
        '<svg x="10" y="20" width="80" height="30" viewBox="0 0 10 10" preserveAspectRatio="none"><circle cx="5" cy="5" r="5"/></svg>',
    ),
    "nested-svg-overflow": (
        "8.5",
        '<svg x="30" y="30" width="20" height="20" overflow="visible"><circle r="25"/></svg>',
    ),
    "nested-svg-percent": (
        "8.9",
        '<svg x="10" y="10" width="50%" height="50%"><rect width="50%" height="100%"/></svg>',
    ),
    "switch-first": (
        "5.7",
        '<switch><rect systemLanguage="zz" width="50" height="50"/><circle cx="50" cy="50" r="30"/><rect width="9" height="9"/></switch>',
    ),
    "switch-language": (
        "5.7",
        '<switch><rect systemLanguage="en" width="50" height="50"/><circle cx="50" cy="50" r="30"/></switch>',
    ),
    "language-outside-switch": ("5.7", '<rect systemLanguage="en" width="50" height="50"/>'),
    "link": ("16.2", '<a href="#x">' + R.format("") + "</a>"),
    "unknown-element": ("5.2", "<nonsense>" + R.format("") + '</nonsense><path d="M2 2h30v30H2z"/>'),
    "foreign-namespace": ("5.2", '<x:g xmlns:x="urn:x">' + R.format("") + '</x:g><path d="M2 2h30v30H2z"/>'),
    "use-symbol-opacity": (
        "5.5",
        '<symbol id="s" opacity=".3"><circle cx="50" cy="50" r="40"/></symbol><use href="#s"/><path d="M60 60h30v30z"/>',
    ),
    "use-symbol-display-none": (
        "5.5",
        '<symbol id="s" style="display:none"><circle cx="50" cy="50" r="40"/></symbol><use href="#s"/><path d="M60 60h30v30z"/>',
    ),
    "use-symbol-clip": (
        "5.5",
        '<clipPath id="c"><rect width="50" height="100"/></clipPath><symbol id="s" clip-path="url(#c)"><circle cx="50" cy="50" r="40"/></symbol><use href="#s"/>',
    ),
    "use-svg": (
        "5.6",
        '<defs><svg id="s" viewBox="0 0 10 10" width="20" height="20"><circle cx="5" cy="5" r="5"/></svg></defs><use href="#s" x="5" width="50" height="60"/>',
    ),
    "use-svg-xy": (
        "5.6",
        '<defs><svg id="s" viewBox="0 0 10 10" x="10" y="20" width="20" height="20"><circle cx="5" cy="5" r="5"/></svg></defs><use href="#s" x="5"/>',
    ),
    "use-xlink-wins": (
        "16.1.5",
        '<defs><rect id="r" width="50" height="50"/><rect id="q" width="20" height="20"/></defs><use href="#r" xlink:href="#q"/>',
    ),
    "use-text": (
        "5.6",
        '<defs><text id="r" font-size="30" font-family="Noto Sans">Ab</text></defs><use href="#r" x="10" y="50"/>',
    ),
    "use-clippath-ref": (
        "5.6",
        '<clipPath id="c"><rect width="50" height="50"/></clipPath><use href="#c"/><path d="M60 60h30v30z"/>',
    ),
    "nested-nested-viewbox-percent": (
        "8.2",
        '<svg x="10%" y="10%" width="50%" height="50%" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></svg>',
    ),
    "nested-nested-transform": (
        "8.2",
        '<svg x="10" y="10" width="50" height="50" transform="rotate(20)"><rect width="40" height="40"/></svg>',
    ),
    "nested-nested-par": (
        "8.6",
        '<svg width="80" height="40" viewBox="0 0 10 10" preserveAspectRatio="xMaxYMax"><circle cx="5" cy="5" r="4"/></svg>',
    ),
    "nested-nested-no-size": ("7.8", '<svg><rect width="50" height="50"/></svg>'),
    "switch-nested-comments": (
        "5.7",
        '<switch><!-- a --><rect systemLanguage="de" width="50" height="50"/><g><circle cx="50" cy="50" r="20"/></g><rect width="100" height="100"/></switch>',
    ),
    "switch-unknown": (
        "5.7",
        '<rect width="9" height="9"/><switch><zz width="50"/><circle cx="50" cy="50" r="20"/></switch>',
        '<rect width="9" height="9"/>',
    ),
    "switch-required-ext-empty": (
        "5.8.2",
        '<switch><rect requiredExtensions="" width="50" height="50"/><circle cx="50" cy="50" r="20"/></switch>',
    ),
    "switch-display-none": (
        "5.7",
        '<switch><rect display="none" width="50" height="50"/><circle cx="50" cy="50" r="20"/></switch><path d="M60 60h30v30z"/>',
    ),
    "language-list": ("5.8.3", '<rect systemLanguage="de,en" width="50" height="50"/>'),
    "link-in-text": ("16.2", '<text x="5" y="50" font-size="30" font-family="Noto Sans">a<a href="x">bc</a>d</text>'),
    "picture-png": (
        "12.3",
        '<image x="10" y="10" width="80" height="40" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAABAAAAAICAAAAADVHSBLAAAAG0lEQVR4nGNkgIL/UJqJAQ0QFmD8D2dqkmsGAM7jAjbSH/swAAAAAElFTkSuQmCC"/>',
    ),
    "picture-png-pixelated": (
        "CSS Images 3, 5.3",
        '<image x="10" y="10" width="80" height="40" image-rendering="optimizeSpeed" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAABAAAAAICAAAAADVHSBLAAAAG0lEQVR4nGNkgIL/UJqJAQ0QFmD8D2dqkmsGAM7jAjbSH/swAAAAAElFTkSuQmCC"/>',
    ),
    "picture-png-slice": (
        "8.6",
        '<image x="10" y="10" width="80" height="80" preserveAspectRatio="xMinYMid slice" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAABAAAAAICAAAAADVHSBLAAAAG0lEQVR4nGNkgIL/UJqJAQ0QFmD8D2dqkmsGAM7jAjbSH/swAAAAAElFTkSuQmCC"/>',
    ),
    "picture-png-none": (
        "8.6",
        '<image x="10" y="10" width="80" height="80" preserveAspectRatio="none" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAABAAAAAICAAAAADVHSBLAAAAG0lEQVR4nGNkgIL/UJqJAQ0QFmD8D2dqkmsGAM7jAjbSH/swAAAAAElFTkSuQmCC"/>',
    ),
    "picture-nosize": (
        "12.3",
        '<image href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAACgAAAAUCAAAAADaLSBnAAAAJUlEQVR4nGNkwAL+YxFjwqYQGxhVSB2FjNhigYFBkw5WjyrECwAzOAJOOOhf/AAAAABJRU5ErkJggg=="/>',
    ),
    "picture-width-only": (
        "12.3",
        '<image width="60" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAACgAAAAUCAAAAADaLSBnAAAAJUlEQVR4nGNkwAL+YxFjwqYQGxhVSB2FjNhigYFBkw5WjyrECwAzOAJOOOhf/AAAAABJRU5ErkJggg=="/>',
    ),
    "picture-jpg": (
        "12.3",
        '<image x="10" y="10" width="80" height="80" href="data:image/jpeg;base64,/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAAIBAQEBAQIBAQECAgICAgQDAgICAgUEBAMEBgUGBgYFBgYGBwkIBgcJBwYGCAsICQoKCgoKBggLDAsKDAkKCgr/wAALCABAAEABAREA/8QAHwAAAQUBAQEBAQEAAAAAAAAAAAECAwQFBgcICQoL/8QAtRAAAgEDAwIEAwUFBAQAAAF9AQIDAAQRBRIhMUEGE1FhByJxFDKBkaEII0KxwRVS0fAkM2JyggkKFhcYGRolJicoKSo0NTY3ODk6Q0RFRkdISUpTVFVWV1hZWmNkZWZnaGlqc3R1dnd4eXqDhIWGh4iJipKTlJWWl5iZmqKjpKWmp6ipqrKztLW2t7i5usLDxMXGx8jJytLT1NXW19jZ2uHi4+Tl5ufo6erx8vP09fb3+Pn6/9oACAEBAAA/AP38ooooooooooooooooor+AOiiiv7/KKKK/gDooor+/yiiiv4A6KKK/v8ooor+AOiiiv7/KKKKKKKKKKKKKKKKKK//Z"/>',
    ),
    "picture-svg": (
        "12.3",
        '<image x="10" y="10" width="80" height="80" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHdpZHRoPSIyMCIgaGVpZ2h0PSIxMCI+PHJlY3Qgd2lkdGg9IjEwIiBoZWlnaHQ9IjEwIi8+PGNpcmNsZSBjeD0iMTUiIGN5PSI1IiByPSI1Ii8+PC9zdmc+"/>',
    ),
    "picture-svg-slice": (
        "8.6",
        '<image x="10" y="10" width="80" height="80" preserveAspectRatio="xMaxYMax slice" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHdpZHRoPSIyMCIgaGVpZ2h0PSIxMCI+PHJlY3Qgd2lkdGg9IjEwIiBoZWlnaHQ9IjEwIi8+PGNpcmNsZSBjeD0iMTUiIGN5PSI1IiByPSI1Ii8+PC9zdmc+"/>',
    ),
    "picture-svg-percent-enc": (
        "12.3",
        """<image x="10" y="10" width="80" height="80" href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' width='20' height='10'%3E%3Crect width='10' height='10'/%3E%3C/svg%3E"/>""",
    ),
    "picture-rotate": (
        "12.3",
        '<image transform="rotate(20)" x="10" y="10" width="80" height="40" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAABAAAAAICAAAAADVHSBLAAAAG0lEQVR4nGNkgIL/UJqJAQ0QFmD8D2dqkmsGAM7jAjbSH/swAAAAAElFTkSuQmCC"/>',
    ),
    "picture-over-black": (
        "12.3",
        '<rect width="100" height="100"/><image x="10" y="10" width="80" height="40" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAABAAAAAICAAAAADVHSBLAAAAG0lEQVR4nGNkgIL/UJqJAQ0QFmD8D2dqkmsGAM7jAjbSH/swAAAAAElFTkSuQmCC"/>',
    ),
    "picture-in-mask": (
        "12.3",
        '<mask id="m"><image width="100" height="100" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAEAAAABACAAAAACPAi4CAAAAPElEQVR4nO3VsQkAMAwDsKTf9P8D2xM8BTLIq0F4c1fIC/1JQAoAAAAAAIBtQKf/r7qzCwAAAAAAAGwDPocaAqYFGxXYAAAAAElFTkSuQmCC"/></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "picture-in-pattern": (
        "12.3",
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse"><image width="20" height="20" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAEAAAABACAAAAACPAi4CAAAAPElEQVR4nO3VsQkAMAwDsKTf9P8D2xM8BTLIq0F4c1fIC/1JQAoAAAAAAIBtQKf/r7qzCwAAAAAAAGwDPocaAqYFGxXYAAAAAElFTkSuQmCC"/></pattern><rect width="100" height="100" fill="url(#p)"/>',
    ),
    "picture-clip": (
        "12.3",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><image clip-path="url(#c)" width="100" height="100" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAEAAAABACAAAAACPAi4CAAAAPElEQVR4nO3VsQkAMAwDsKTf9P8D2xM8BTLIq0F4c1fIC/1JQAoAAAAAAIBtQKf/r7qzCwAAAAAAAGwDPocaAqYFGxXYAAAAAElFTkSuQmCC"/>',
    ),
    "language-list-us": (
        "5.8.1",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" systemLanguage="de,en-US"/>',
    ),
    "language-sw-de": (
        "5.8.1",
        '<switch><rect x="20" y="20" width="60" height="60" systemLanguage="de"/><circle cx="50" cy="50" r="20"/></switch>',
    ),
    "language-use-de": (
        "5.8.1",
        '<rect width="9" height="9"/><defs><rect id="r" width="60" height="60" systemLanguage="de"/></defs><use href="#r" x="20" y="20"/>',
    ),
    "language-clip-de": (
        "5.8.1",
        '<rect width="9" height="9"/><clipPath id="c"><rect width="60" height="60" systemLanguage="de"/></clipPath><rect width="100" height="90" y="10" clip-path="url(#c)"/>',
    ),
    "language-sw-features": (
        "5.8.1",
        '<switch><rect x="20" y="20" width="60" height="60" requiredFeatures="foo"/><circle cx="50" cy="50" r="20"/></switch>',
    ),
    "language-tspan": (
        "5.8.1",
        '<text y="60" font-size="40" font-family="Noto Sans">A<tspan systemLanguage="de">B</tspan>C</text>',
    ),
    "switch-description": (
        "5.7",
        '<rect width="9" height="9"/><switch><desc/><rect x="20" y="20" width="60" height="60" /></switch>',
        '<rect width="9" height="9"/>',
    ),
    "switch-defs": (
        "5.7",
        '<rect width="9" height="9"/><switch><defs/><rect x="20" y="20" width="60" height="60" /></switch>',
    ),
    "switch-foreign": ("5.7", '<switch><a:b xmlns:a="u"/><rect x="20" y="20" width="60" height="60" /></switch>'),
    "switch-style": (
        "5.7",
        '<rect width="9" height="9"/><switch><style>rect{}</style><rect x="20" y="20" width="60" height="60" /></switch>',
        '<rect width="9" height="9"/>',
    ),
    "picture-gif": (
        "12.3",
        '<image x="10" y="10" width="60" height="60" href="data:image/gif;base64,R0lGODdhKAAoAIYAAAAAAAMDAwYGBgkJCQ0NDRAQEBMTExYWFhoaGh0dHSAgICQkJCcnJyoqKi0tLTExMTQ0NDc3Nzs7Oz4+PkFBQUREREhISEtLS05OTlJSUlVVVVhYWFtbW19fX2JiYmVlZWlpaWxsbG9vb3JycnZ2dnl5eXx8fH9/f4ODg4aGhomJiY2NjZCQkJOTk5aWlpqamp2dnaCgoKSkpKenp6qqqq2trbGxsbS0tLe3t7u7u76+vsHBwcTExMjIyMvLy87OztLS0tXV1djY2Nvb29/f3+Li4uXl5ejo6Ozs7O/v7/Ly8vb29vn5+fz8/P///wAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAACwAAAAAKAAoAEAI/wABBBAwgEABAwcQJFCwgEEDBw8gRJAwgUIFCxcwZNCwgUMHDx9AhBAxgkQJEycUMnQIUSJFixg1cvQIUiRJkyhRpFCxgkULFy9cVryYcWPHjyFHljx5QidPn0BhxJAxg0YNGzdkHq2pFGfTnT1/vpBK1SpWHDl07ODRw8cPm0tzgoU6dmrVqzfQqmXrFkgQIUOIFDFyxCBClQ0fRpw4NKZRmklvMnW6guXil0S1QobrlTJdsjNgFp2JlPPkuWJBm82bdsfmrqefpra7Wu/atj/8Au6MOiptvLb55v4bePARJEmULCFoOOHCxC0Zi9ZcGrbcw88tC53+uLpkubJXKv/enrk71+9fZfuOjtkx6fNx04f1XbZG+9FbI8f3PLv+2Rzu5WcaePPV5R9re/Xwnn68qWfgXf8l2FcQ8DVYoGrAtSacbsWhxx99ECJ424SACUYYcgR+9luEIw5XonHIKcdEEwMVdJBz4rHXGH6veWgjdjletiN1FcZ2I2LaSVfeggPKxwKO0AnJHZPWOflTduMpGWCP+/U2VpTkbeldlw6SleV9RDIY24W0SbmkgFV++KBZWvI4poUqHojDkOapmWJ/Ier1Jpd4AlqbhnYW+SeIh0rYZ5NyYsjihnB66KWkIm74151r5hmohrhxSISfVjKaoYQuFmdEnJeumGmoxJkkeByZbOoJKomqHpdcp4ae2qKoMCa3BBOlzumrpi+eKOyMTgQEADs="/>',
    ),
    "picture-gif-trans": (
        "12.3",
        '<image x="10" y="10" width="60" height="60" href="data:image/gif;base64,R0lGODlhKAAoAIYAAAAAAAMDAwYGBgkJCQ0NDRAQEBMTExYWFhoaGh0dHSAgICQkJCcnJyoqKi0tLTExMTQ0NDc3Nzs7Oz4+PkFBQUREREhISEtLS05OTlJSUlVVVVhYWFtbW19fX2JiYmVlZWlpaWxsbG9vb3JycnZ2dnl5eXx8fH9/f4ODg4aGhomJiY2NjZCQkJOTk5aWlpqamp2dnaCgoKSkpKenp6qqqq2trbGxsbS0tLe3t7u7u76+vsHBwcTExMjIyMvLy87OztLS0tXV1djY2Nvb29/f3+Li4uXl5ejo6Ozs7O/v7/Ly8vb29vn5+fz8/P///wAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAACH5BAEAAAAALAAAAAAoACgAQAj/AAEEEDCAQAEDBxAkULCAQQMHDyBEkDCBQgULFzBk0LCBQwcPH0CEEDGCRAkTJxQydAhRIkWLGDVy9AhSJEmTKFGkULGCRQsXL1xWvJhxY8ePIUeWPHlCJ0+fQGHEkDGDRg0bN2QerakUZ9OdPX++kErVKlYcOXTs4NHDxw+bS3OChTp2atWrN9CqZesWSBAhQ4gUMXLEIEKVDR9GnDg0plGaSW8ydbqC5eKXRLVChuuVMl2yM2AWnYmU8+S5YkGbzZt2x+aup5+mtrta79q2P/wC7ow6Km28tvnm/ht48BEkSZQsIWg44cLELRmL1lwattzDzy0Lnf64umS5slcq/96euTvX719l+46O2THp83HTh/Vdtkb70Vsjx/c8u/7ZHO7lZxp489XlH2t79fCefrypZ+Bd/yXYVxDwNVigasC1JpxuxaHHH30QInjbhIAJRhhyBH72W4QjDleiccgpx0QTAxV0kHPisdcYfq95aCN2OV62I3UVxnYjYtpJV96CA8rHAo7QCckdk9Y5+VN24ykZYI/79TZWlORt6V2XDpKV5X1EMhjbhbRJuaSAVX74oFla8jimhSoeiMOQ5qmZYn8h6vUml3gCWpuGdhb5J4iHSthnk3JiyOKGcHropaQibvjXnWvmGaiGuHFIhJ9WMpqhhC4WZ0Scl66YaajEmSR4HJls6gkqiaoel1ynhp7aoqgwJrcEE6XO6aumL54o7IxOBAQAOw=="/>',
    ),
    "picture-auto": (
        "12.3",
        '<image x="10" y="10" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAACgAAAAUCAAAAADaLSBnAAAAG0lEQVR4nGNkwAL+YxFjwqYQGxhVOKpweCsEAF9SAScAebhtAAAAAElFTkSuQmCC"/>',
    ),
    "picture-auto-w": (
        "12.3",
        '<image x="10" y="10" width="60" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAACgAAAAUCAAAAADaLSBnAAAAG0lEQVR4nGNkwAL+YxFjwqYQGxhVOKpweCsEAF9SAScAebhtAAAAAElFTkSuQmCC"/>',
    ),
    "picture-auto-h": (
        "12.3",
        '<image x="10" y="10" height="60" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAACgAAAAUCAAAAADaLSBnAAAAG0lEQVR4nGNkwAL+YxFjwqYQGxhVOKpweCsEAF9SAScAebhtAAAAAElFTkSuQmCC"/>',
    ),
    "picture-svg-auto": (
        "12.3",
        '<image x="10" y="10" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHdpZHRoPSI0MCIgaGVpZ2h0PSIyMCI+PHJlY3Qgd2lkdGg9IjIwIiBoZWlnaHQ9IjIwIi8+PC9zdmc+"/>',
    ),
    "picture-svg-auto-w": (
        "12.3",
        '<image x="10" y="10" width="80" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHdpZHRoPSI0MCIgaGVpZ2h0PSIyMCI+PHJlY3Qgd2lkdGg9IjIwIiBoZWlnaHQ9IjIwIi8+PC9zdmc+"/>',
    ),
    "picture-svg-auto-vb-w": (
        "12.3",
        '<image x="10" y="10" width="60" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHZpZXdCb3g9IjAgMCA0MCAyMCI+PHJlY3Qgd2lkdGg9IjIwIiBoZWlnaHQ9IjIwIi8+PC9zdmc+"/>',
    ),
    "picture-svg-wh": (
        "12.3",
        '<image x="10" y="10" width="60" height="60" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHZpZXdCb3g9IjAgMCA0MCAyMCI+PHJlY3Qgd2lkdGg9IjIwIiBoZWlnaHQ9IjIwIi8+PC9zdmc+"/>',
    ),
    "picture-svg-novb": (
        "12.3",
        '<image x="10" y="10" width="60" height="60" href="data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciIHdpZHRoPSI0MCIgaGVpZ2h0PSIyMCI+PHJlY3Qgd2lkdGg9IjIwIiBoZWlnaHQ9IjIwIi8+PC9zdmc+"/>',
    ),
    "image-of-a-page": (
        "5.9",
        '<image x="10" y="10" width="80" height="80" href="data:image/svg+xml,%3Csvg xmlns=&apos;http://www.w3.org/2000/svg&apos; width=&apos;80&apos; height=&apos;40&apos;%3E%3Crect width=&apos;200&apos; height=&apos;25&apos;/%3E%3Crect width=&apos;15&apos; height=&apos;200&apos;/%3E%3C/svg%3E"/>',
        '<path d="M10 30H90V55H25V70H10z"/>',
    ),
    "image-without-a-page": (
        "5.9",
        '<image x="10" y="10" width="80" height="80" href="data:image/svg+xml,%3Csvg xmlns=&apos;http://www.w3.org/2000/svg&apos; viewBox=&apos;0 0 80 40&apos;%3E%3Crect width=&apos;200&apos; height=&apos;25&apos;/%3E%3Crect width=&apos;15&apos; height=&apos;200&apos;/%3E%3C/svg%3E"/>',
        '<path d="M10 30H90V55H25V90H10z"/>',
    ),
    "image-of-a-share": (
        "5.9",
        '<image x="10" y="10" width="80" height="80" preserveAspectRatio="none" href="data:image/svg+xml,%3Csvg xmlns=&apos;http://www.w3.org/2000/svg&apos; width=&apos;100%25&apos; height=&apos;50%25&apos; viewBox=&apos;0 0 80 40&apos;%3E%3Crect width=&apos;200&apos; height=&apos;25&apos;/%3E%3Crect width=&apos;15&apos; height=&apos;200&apos;/%3E%3C/svg%3E"/>',
        '<path d="M10 10H90V60H25V90H10z"/>',
    ),
}
