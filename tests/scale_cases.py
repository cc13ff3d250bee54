"""Documents of every kind of size, and what one user unit of them is in millimetres, across and down.

Worked out by hand from SVG 2, section 8.2 (the viewport's transform), with 96 px to the inch (CSS
Values and Units Level 3, section 6.2); ``tests/editor/test_scale.py`` measures each in the editor.
"""
PX = 25.4 / 96

#: name: (attributes of svg, mm per user unit across, down)
SIZED = {
    "A4 in mm": ('width="210mm" height="297mm" viewBox="0 0 210 297"', 1, 1),
    "letter in hundredths": ('width="8.5in" height="11in" viewBox="0 0 850 1100"', 0.254, 0.254),
    "px without unit": ('width="800" height="600"', PX, PX),
    "px": ('width="800px" height="300px"', PX, PX),
    "twice px": ('width="800px" height="600px" viewBox="0 0 400 300"', 2 * PX, 2 * PX),
    "points": ('width="400pt" height="400pt" viewBox="0 0 100 100"', 4 * 25.4 / 72, 4 * 25.4 / 72),
    "picas": ('width="40pc" height="40pc" viewBox="0 0 100 100"', 0.4 * 25.4 / 6, 0.4 * 25.4 / 6),
    "centimetres": ('width="20cm" height="30cm" viewBox="-50 -20 400 600"', 0.5, 0.5),
    "meet": ('width="800px" height="600px" viewBox="0 0 400 100"', 2 * PX, 2 * PX),
    "meet, upright, moved": ('width="800px" height="600px" viewBox="-50 20 100 300"', 2 * PX, 2 * PX),
    "slice": ('width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="xMidYMid slice"', 6 * PX, 6 * PX),
    "slice to a corner": (
        'width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="xMinYMax   slice"', 6 * PX, 6 * PX
    ),
    "none": ('width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="none"', 2 * PX, 6 * PX),
    "none before slice": (
        'width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="none slice"', 2 * PX, 6 * PX
    ),
    # SVG 2 allows neither of these; the editor takes them for xMidYMid meet.
    "fit misspelt": ('width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="slice"', 2 * PX, 2 * PX),
    "defer": (
        'width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="defer xMidYMid slice"', 2 * PX, 2 * PX
    ),
    "no height": ('width="200mm" viewBox="0 0 400 100"', PX, PX),
    "no height, none": ('width="200mm" viewBox="0 0 400 100" preserveAspectRatio="none"', 0.5, PX),
    "no width": ('height="20mm" viewBox="0 0 400 100"', 0.2, 0.2),
    "viewBox only": ('viewBox="0 0 400 100"', PX, PX),
    "whole window": ('width="100%" height="100%" viewBox="0 0 400 100"', PX, PX),
    "half a window": ('width="50%" height="100%" viewBox="0 0 400 100"', PX / 2, PX / 2),
    "percent one way": ('width="100mm" height="50%" viewBox="0 0 100 100" preserveAspectRatio="none"', 1, PX / 2),
    "percent of nothing": ('width="100%" height="100%"', PX, PX),
    "width only": ('width="300mm"', PX, PX),
    "height only": ('height="300mm"', PX, PX),
    "viewBox of no size": ('width="300" height="100" viewBox="0 0 0 100"', PX, PX),
    "viewBox too short": ('width="300" height="100" viewBox="0 0 10"', PX, PX),
    "viewBox with units": ('width="100mm" height="100mm" viewBox="0 0 200px 200px"', PX, PX),
    "viewBox with commas": ('width="300" height="100" viewBox="0 ,0 , 150,50"', 2 * PX, 2 * PX),
    "exponents": ('width="1e2mm" height="+1e2mm" viewBox=" 0 0 2e2 2e2 "', 0.5, 0.5),
    "spaces": ('width=" 100mm " height=" 100mm" viewBox="0 0 200 200"', 0.5, 0.5),
    "points without digits": ('width=".5in" height="1.in" viewBox="0 0 100 100"', 0.127, 0.127),
    "svg with a transform": ('width="210mm" height="297mm" viewBox="0 0 210 297" transform="scale(2)"', 1, 1),
}  # fmt: skip

#: What the editor could only guess at: name: (attributes of svg, what the message must quote)
SIZELESS = {
    "nothing": ("", "no size"),
    "zero": ('width="0" height="100" viewBox="0 0 400 100"', "“0”"),
    "negative": ('width="100" height="-100mm" viewBox="0 0 400 100"', "“-100mm”"),
    "no number": ('width="abc" height="100" viewBox="0 0 400 100"', "“abc”"),
    "not a number": ('width="nan" height="100"', "“nan”"),
    "endless": ('width="1e999mm" height="100"', "“1e999mm”"),
    "empty": ('width="" height=""', "“”"),
    "comma": ('width="10,5mm" height="100"', "“10,5mm”"),
    "depends on letters": ('width="30em" height="20em" viewBox="0 0 300 200"', "“30em”"),
    "zero percent": ('width="0%" height="100%"', "“0%”"),
    "viewBox of no size alone": ('viewBox="0 0 0 0"', "no size"),
}
