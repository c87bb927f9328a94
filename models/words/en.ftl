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
page-earlier = Earlier in this case, and what was given to do
ago = { $time } ago
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

## The sheet of a drill
drill-title = Reset drill: { $device }
drill-clip = Clip
drill-try = try
drill-began = began at
drill-held = held for
drill-answered = answered at
drill-short = too short by
drill-verdict = verdict
drill-hint = hint
drill-took = it took
drill-too-short = let go too soon
drill-refused = the device refused it
drill-unclear = not to be told
drill-none = no reset was seen
drill-unreadable = could not be read
drill-hint-took = Held long enough. Let the button go as soon as the lamp answers.
drill-hint-longer = Hold the button for at least { $needed } s from the moment that the lamp begins to answer it, and one second more to be safe.
drill-hint-film-earlier = It took. Begin to film before the button is pressed, so that the time can be measured.
drill-hint-refused = The lamp says no, though the button was held long enough. Look up what else this device asks for.
drill-hint-unclear = Film again: near, still, with the lamp in view from before the button is pressed until the lamp is steady.
drill-hint-none = Film from before the button is pressed until the lamp is steady, with the finger beside the lamp and not before it.
drill-sum = { $took } of { $tries ->
    [one] one try
   *[other] { $tries } tries
} took.
drill-caution = A reset erases the settings of the device. Practise on one that holds nothing that is needed.
drill-key = All times count from the first picture of the clip, as the lamp shows them: a button that was pressed before the lamp answered was held for longer.
at-least = at least { $what }

## Many clips
outcome-decided = decided
outcome-undecided = undecided
outcome-unlisted = in no row of the table
outcome-unseen = no usable light
outcome-unreadable = could not be read
same-as = (the same file as { $clip })
triage-sum = { $count ->
    [one] One clip:
   *[other] { $count } clips:
}
triage-kinds = Kinds of state:
triage-copies = { $count ->
    [one] 1 of them is a copy of another.
   *[other] { $count } of them are copies of others.
}
triage-first = To look at first:
triage-more = and { $count } more
