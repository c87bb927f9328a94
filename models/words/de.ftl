# Every text that a customer sees, in English. The other files in this folder hold the same texts, in the same order.

## The page
page-next = What to do next
page-seen = What was seen
page-timeline = What it showed when
page-sure = How sure
page-also = It could also be
page-could = It could be
page-settle = What would settle it
page-warnings = What made the reading weaker
page-footage = The footage
page-no-table = Read without a table
page-light = Light { $number }
page-others = { $count ->
    [one] One more lamp was in the picture; it was not used.
   *[other] { $count } more lamps were in the picture; they were not used.
}
page-footer = A dark lamp never proves that the power is off. An indicator lamp is no safety device.

column-from = From
column-to = To
column-meaning = Meaning
column-sure = How sure

## The plot
plot-title = From { $from } to { $to } s
plot-about = How bright the light was over time, from { $from } to { $to } seconds; { $flashes ->
    [0] it was never lit.
    [one] it was lit once.
   *[other] it was lit { $flashes } times.
}
plot-key = The line is how bright the light was, the boxes in the row “seen” are its flashes.
plot-key-table = The dashed line and the row “table” are what the table says it should do, laid over as well as they fit.
plot-key-hidden = Grey with a “?” is where it was not in view; that is not the same as dark.
plot-cut = Only the first { $seconds } s are drawn.
plot-bright = lit
plot-dark = dark
plot-seen = seen
plot-table = table

## Pictures of the light
pictures-key = The light at the moments that decided it; nothing else of the footage is kept here.
picture-alt = The light, { $what }
lit = lit
dark = dark

## What was measured
measured-colour = Colour
measured-rhythm = Rhythm
measured-period = One cycle
measured-on = Lit at a time
measured-flashes = Was lit
measured-seen = In view, of the frames
measured-place = Place
place = { $x } across, { $y } down, radius { $radius } pixels; looks like a lamp: { $score }

## Words in several places
caution = Caution
no-step = The table has no step for this.
not-in-table = not in the table

## Colours
red = red
amber = amber
yellow = yellow
green = green
cyan = cyan
blue = blue
violet = violet
white = white
warm-white = warm white
