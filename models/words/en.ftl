# Every text that a customer sees, in English. The other files in this folder hold the same texts, in the same order.

## The page
page-next = What to do next
page-seen = What was seen
page-timeline = What it showed when
page-sure = How sure
page-also = It could also be
page-could = It could be
page-could-if-lamp = It could be, if that is a lamp at all
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
picture-key = One mark is one second; grey is where it was not in view, which is not the same as dark.
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
place-pointed = { $x } across, { $y } down, radius { $radius } pixels; you pointed to it

## Words in several places
caution = Caution
no-step = The table has no step for this.
forgotten-row = If the table lacks this row, it would be:
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
time-left = { $time } left
triage-first = To look at first:
triage-more = and { $count } more

## The first line
head-decided = The light means "{ $title }" ({ $sure }).
head-unlisted = The light does something that the table does not list ({ $sure }).
head-unseen-clip = No usable light was seen in this clip, so there is no reading.
head-unseen-photo = No usable light was seen in this photo, so there is no reading.
head-unseen-photos = No usable light was seen in these photos, so there is no reading.
head-open-clip = Not decided: this clip does not show which row of the table it is.
head-open-photo = Not decided: this photo does not show which row of the table it is.
head-open-photos = Not decided: these photos do not show which row of the table it is.
head-undecided-clip = Not decided: this clip may show { $rows }.
head-undecided-photo = Not decided: this photo may show { $rows }.
head-undecided-photos = Not decided: these photos may show { $rows }.
head-nothing-clip = No usable light was seen in this clip.
head-nothing-photo = No usable light was seen in this photo.
head-nothing-photos = No usable light was seen in these photos.
head-seen = { $count ->
    [one] One light was seen: { $what }. No table was given, so no meaning.
   *[other] { $count } lights were seen, the plainest: { $what }. No table was given, so no meaning.
}
something-unlisted = something not in the table
other-rows = { $count ->
    [one] 1 other row
   *[other] { $count } other rows
}
photo-note = This is a photo; a clip would settle what the light does over time.
photos-note = These are { $count } photos, taken for moments of one state; a clip would settle what the light does over time.
photos-show = What each photo shows
photo-shows = { $name }: { $what }
photo-no-lamp = no lamp to be seen

## How sure
sure-all-but = all but certain
sure-very = very sure
sure-fairly = fairly sure
sure-not-very = not very sure
sure-not = unsure
over-99 = over 99 %
under-1 = under 1 %
all = all
none = none

## What a lamp does
rhythm-off = dark all the time
rhythm-fixed = lit all the time
rhythm-flashing = flashing
rhythm-group = flashing in groups of { $count }
rhythm-alternating = changing colours in turn
rhythm-breathing = breathing (swelling and fading)
rhythm-irregular = changing without a rhythm
rhythm-unknown = no rhythm to be told
no-colour = no colour seen
none-seen = none seen
one-cycle-in = one cycle in { $seconds } s
times = { $count ->
    [one] 1 time
   *[other] { $count } times
}

## The text report
next = Next:
rests-on = What this rests on:
warnings = Warnings:
label-footage = Footage:
label-table = Table:
label-when = When:
label-place = place
label-colour = colour
label-rhythm = rhythm
label-cycle = one cycle
label-on = lit for
label-flashes = lit
label-seen = in view
at-a-time = { $seconds } at a time
of-the-frames = { $share } of the frames
rows = { $count ->
    [one] 1 row
   *[other] { $count } rows
}
no-table = none
size = { $width } x { $height } pixels
a-photo = a photo, { $size }
some-photos = { $count } photos; what follows is of the plainest, { $name }, { $size }
a-clip = a clip of { $seconds } s, { $frames ->
    [one] 1 frame
   *[other] { $frames } frames
} ({ $rate } a second), { $size }
to = to
light-of-table = Light "{ $id }", { $label }:
the-light-title = The light:
light-number = Light { $number }:
other-lamps = Other lamps in the picture, not used: at { $places }.
could-also-be = It could also be:
could-be = It could be:
could-be-if-lamp = It could be, if that is a lamp at all:
would-settle = What would settle it:
strip-half = small letter half lit
strip-lit = lit, colour not told
strip-half-lit = half lit, colour not told
strip-dark = dark
strip-unseen = not seen
quoted = "{ $what }"
and = and
or = or

## How long it lasts
lasts-usually = This usually lasts { $time }
lasts-at-most = at most { $time }
lasts-so-far = so far { $time }
lasts-overdue = It has been so for longer than the { $time } of the table: something is wrong.

## Steps
as-in-step = as in step { $step }.
step-if-yes = If yes to step { $step }:
step-if-no = If no to step { $step }:
step-otherwise = If that does not help: { $what }
step-with = Hand on with it: { $what }.
step-hand-on = Stop here and hand the case on, with this report: { $why }.
step-until = For the first { $time }: { $what }
step-until-powered = Until it has had power for { $time }: { $what }
step-for-another = For up to { $time } more: { $what }
step-after = Only after { $time } of this: { $what }
step-after-powered = Only once it has had power for { $time }: { $what }
step-between = After { $from } of this and before { $to }: { $what }
step-between-powered = After { $from } with power and before { $to }: { $what }
hand-on-all-done = every step that the table has for this was done, or its time has passed.
hand-on-unlisted = the light does something that the table does not list.
fact-lasted = how long it has been so: { $time }
fact-powered = how long it has had power: { $time }
fact-tried = what was tried: { $what }
the-light = the light
ask-table = Give the device's light table, to learn what this means.
ask-right-table = Check that the device is the one that the table describes: { $device }.
ask-which = Ask which it is: { $rows }? They look the same; no clip can tell.
ask-how-long = Ask how long it has been so: { $spans }.
ask-lasts = "{ $title }" lasts { $time } at most

## Cautions
caution-dark = A dark light does not prove that the power is off. Treat the device as live.
caution-erases = This erases { $what }. Have that written down or saved first.
caution-erases-settings = A reset erases the settings of the device. Have them written down first.
caution-keep-power = The device may be changing its firmware. Leave the power connected until it has finished.
caution-power = Dry hands only. Do not open mains equipment. Climb only on a secured ladder, with somebody by. The site's own rules, local electrical codes and licensed practice come first.
caution-bright = Do not stare into a bright lamp or into a fibre port; look at the phone's screen.

## How to film, as a sentence
film-first = Film { $lamp } for { $time }, near enough that it is plain to see on the screen.
film-longer = Film the light again, for { $seconds } s longer than this time.
film-longer-open = Film the light again for longer, so that what it does repeats a few times.
film-clip = Film a clip of { $seconds } s; a photo cannot show what the light does over time.
film-slow-motion = Film again in slow motion, { $fps } frames a second or more.
film-faster = Film again at { $fps } frames a second or more; it is in the camera's settings.
film-closer = Film again from closer, so that the lamp is large in the picture.
film-brace = Brace the phone against something firm and hold it still.
film-white-sheet = Put a white sheet of paper beside the lamp and film both.
film-keep-in-view = Keep the lamp in the picture all the time, with no finger before it.
film-darker = Tap on the lamp on the screen and draw the brightness down before filming.
film-brighter = Tap on the device beside the lamp and draw the brightness up before filming.
film-less-light = Film again with less light on the device, in the shade or with the room's lamps off: the camera then exposes for longer.
film-one-lamp = Film again with only the lamp in question in the picture.
film-point-again = Read the clip again with the place of the lamp in question after --at, or without --at.
film-point-if-plain = If the lamp is plain to see in this clip all the same, be it lit or dark, read it again with the lamp's place after --at.
film-point-if-there = Look at the clip: if what is at { $place } is the lamp, be it lit or dark, read the clip again with --at { $place }; if the lamp is elsewhere, with its own place after --at.
film-every-lamp = Film so that every lamp of the device is in the picture.
send-as-made = Send the file as the phone made it, not one that was sent on or edited.
copy-again = Copy the file again from the phone, or film again.

## The same in a few words, after "what would settle it"
phrase-ask = ask which it is: { $rows }
phrase-longer = film { $seconds } s more
phrase-longer-open = film for longer
phrase-clip = film a clip of { $seconds } s in place of a photo
phrase-faster = film at { $fps } frames a second or more
phrase-closer = film closer and steadier
phrase-brace = brace the phone
phrase-white-sheet = put a white sheet beside the lamp
phrase-keep-in-view = keep the lamp in view
phrase-darker = film with less exposure
phrase-brighter = film with more exposure
phrase-less-light = film with less light on the device
phrase-one-lamp = film with only that lamp in the picture
phrase-point-again = say again which lamp it is

## Warnings
warn-photo = A photo shows one moment and no rhythm: a lit lamp may be flashing, a dark one too.
warn-photos = Photos show moments and no rhythm. They were taken for moments of one state: if the light changed its state between them, this does not hold.
warn-assumed-colour = The file does not say how it codes colour; the customary way was taken.
warn-damaged = The file is damaged: { $bad } of { $all } frames could not be read well.
warn-untimed = { $count } frames have no time of their own and were left out.
warn-ended-early = The file is cut off: there was more to see than could be read.
warn-not-found = No lamp was found for "{ $id }" ({ $label }); it may have been dark.
warn-hand-shake = The phone was moved: { $pixels } pixels from frame to frame.
warn-small-lamp = The lamp is small in the picture: { $pixels } pixels across.
warn-overexposed = The lamp is washed out: { $share } of it is at full scale.
warn-too-dark = The picture is dark: lit, the lamp gives only { $share } of the light of white.
warn-alias = { $fps } frames a second cannot tell { $shown } flashes a second from { $others }.
warn-alias-or = or
warn-beat = While lit, the lamp's level beats { $rate } times a second by { $share }: dimming by pulses or the mains against the frame rate, and no rhythm of the device.
warn-nothing-lit = Nothing lights up in this clip. Where --at points there may be no lamp at all: a dark one cannot be told from that.
warn-often-hidden = The lamp was covered or out of the picture; in view: { $share }.
warn-lamp-beside = Where --at points, nothing lights up in this clip; a lamp does { $x } across, { $y } down. A dark reading may be of the wrong place.
warn-several-lamps = { $count } lamps look equally like the one; it may be the wrong one.
warn-few-cycles = The rhythm was seen only { $cycles } times over; twice is the least.
warn-partly-seen = The light was in view for { $share } of the frames.
warn-fast-rhythm = { $fps } frames a second cannot show a light that blinks { $rate } times a second.
warn-changed-at-end = From { $from } s on the light shows something else, too briefly to tell what.
warn-perhaps-pulses = The lamp flashes in groups, which no row says, or a row fits and it is dimmed by pulses that fall between the frames { $rate } times a second.
warn-perhaps-flicker = The lamp flickers { $rate } times a second, or it is dimmed by pulses that fall between the frames as often; the clip looks the same.
warn-near-colours = The colour may be { $first } or { $second }; the camera cannot tell.

## Footage that cannot be used, after the name of the file, and what to do
footage-not-found = there is no such file
footage-not-readable = it cannot be read ({ $why })
footage-empty = the file is empty
footage-no-footage = this is neither a clip nor a photo by its content
footage-cut-off = the file is cut off, as after an upload that did not finish: a part that it cannot be opened without is missing
footage-damaged = its first bytes say { $kind }, but it is damaged inside
footage-no-video = this holds no video, only sound or data
footage-codec = video coded as { $codec } is not read here
footage-codec-unknown = its video is coded in an unknown way
footage-not-a-photo = this is a clip; several files are read together only where all are photos
footage-photo-form = a photo in { $form } form is not read here
footage-samples = pictures with samples of the form { $form } are not read here
footage-mirrored = the clip asks to be shown mirrored or at a slant
footage-too-many-pixels = a picture has { $actual } pixels, more than the { $limit } that are read
footage-too-many-frames = the clip has { $actual } frames, more than the { $limit } that are read
footage-too-long = the clip lasts { $actual } s, more than the { $limit } s that are read
footage-too-many-bytes = the photo has { $actual } bytes, more than the { $limit } that are read
footage-no-frames = not one picture could be decoded; { $lost ->
    [one] 1 packet was lost
   *[other] { $lost } packets were lost
}
footage-size-changed = the picture size changes at { $time } s from { $from } to { $to }
footage-decoder = the decoder failed ({ $why })
what-and-next = { $what }; { $next }
next-check-path = check the spelling of the path and that the file may be read
next-check-disk = check its permissions and the disk, or copy it and try the copy
next-send-again = send the original file again
next-send-known-kind = send an MP4, MOV, 3GP, MKV, WebM, AVI or GIF clip, or a JPEG, PNG, WebP, HEIC or AVIF photo
next-send-whole = send the original file again and wait until it is through
next-send-unrepaired = send the original file again, not a repaired or renamed copy
next-send-video = send the clip itself
next-save-h264 = save or share the clip as H.264 ("most compatible") and send that
next-read-alone = read a clip by itself; one clip says more than several photos
next-save-jpeg = set the camera to "most compatible" or save the photo as JPEG or PNG; better, send a clip
next-save-420 = save the clip as H.264 with 4:2:0 colour and send that
next-send-unedited = send the original as the camera wrote it, without edits
next-send-shorter = send a shorter or smaller clip of the lamp
next-send-smaller = send a smaller picture of the lamp
next-cut = cut it there and send the parts one by one
next-more-memory = try again with more free memory; if it fails again, send the original file anew
why-not-found = there is no such file or folder
why-not-allowed = it may not be used with these permissions
why-folder = it is a folder
why-no-folder = a part of the path is no folder
why-disk-full = the disk is full
why-read-only = the disk may only be read
why-no-file = it is no ordinary file
why-name = the name is too long or holds what no name may
why-system = the system says "{ $why }"

## What the command line complains of, and what to do
complaint = error: { $what }
complaint-next = hint: { $what }
failure = this is a failure of the program; please report it with the command you gave
failed-on-clip = the program failed on this clip
cannot-open = cannot open { $path }: { $why }
cannot-write = cannot write { $path }: { $why }
next-check-folder = check that the folder is there and may be written to
next-give-file = give the name of a file; a whole folder of clips is read by `lampwise triage`
next-give-file-in = give the name of a file in it
next-make-room = make room on the disk, or write to another one
cannot-print = the output cannot be written: { $why }
next-mend-table = mend the table at the place shown; `lampwise table check` looks at it again
next-give-table = give the TOML file that says what the lights of the device mean
table-no-text = { $path } is no light table: it is no text
table-too-big = { $path } is no light table: it is longer than { $limit } bytes
table-broken = the light table { $path } has { $count ->
    [one] a mistake
   *[other] { $count } mistakes, the first
} in line { $line }, column { $column }
changed-meanwhile = { $path }: it changed while it was read
next-read-again = read it again
no-lamp-found = no lamp was found in { $path }
next-film-again = send the file as the phone made it, or film again; clips and photos of phones can be read
case-refused = cannot use the case file { $path }: { $why }
case-too-long = it is too long for a case file
case-no-text = it is no text
case-changed = it was changed by somebody else meanwhile
case-damaged = it is damaged or was changed by hand, at line { $line }
case-no-case = it is no case file: it has no `schema`
case-other-schema = it is written in schema { $found }, which this program does not read
next-case = nothing was changed in it; run this again, or give another file and keep this one
case-of-another = { $path } is the case of another device: { $device }
next-case-of-another = give the table of that device, or another file for this case
would-overwrite = { $path }: this is to be read and would be overwritten
next-other-name = give another name to write to
same-output = { $path }: two outputs would be written to this one file
outside-picture = --at { $x },{ $y } lies outside the picture of { $size }
next-count-pixels = count the pixels from the upper left corner, across first, then down
place-in-several = --at is a place in one picture; several photos have no place in common
next-no-place = leave --at out, or give one photo
no-such-name = { $option }: the table has no name "{ $name }"
next-known-names = it has { $known }
next-no-names = this table has no such names; leave the option out
no-reset-row = { $path }: no row is of the kind reset-acknowledged or reset-aborted
next-reset-table = give the table of a device that answers its reset button with a light
no-files = there are no files in { $path }
next-folder = give the folder that holds the clips
no-folder = { $path } is a file, and a folder is wanted
next-folder-or-read = give the folder that the clip lies in, or read this one with `lampwise read`
journal-foreign = cannot go on with the journal { $path }: { $why }
journal-other-head = it belongs to another table, threshold, language or program
journal-busy = another triage is at work with it
journal-line = its line { $line } is no record of a triage
journal-none = it is no journal of a triage
next-journal = give another file with --journal, or remove this one to begin anew
next-wait-journal = wait until that is done, or give another file with --journal
next-other-journal = give another file with --journal; this one was left as it is
no-command = no command was given
unknown-command = there is no command { $word }
unknown-argument = there is no argument { $word } here
similar = did you mean { $word }?
argument-refused = "{ $value }" is no value for { $argument }: { $why }
argument-empty = { $argument } needs a value
argument-no-value = { $argument } takes no value
argument-required = still missing: { $arguments }
argument-conflict = { $argument } cannot stand beside { $other }
argument-twice = { $argument } was given more than once
argument-no-text = an argument is no text
help-hint = `{ $command } --help` shows what may be given
expected-point = expected two numbers of pixels with a comma between, such as 612,340
expected-slowness = expected a number of 1 or more, such as 8
expected-threshold = expected a probability from 0.5 up to less than 1, such as 0.9
expected-condition = expected a name, or a name with =yes or =no, such as injector=no
expected-duration = expected a duration with its unit, such as "90 s", "6 min" or "1 h 20 min"
expected-jobs = expected a whole number from 1 to 256
expected-language = expected one of { $known }
expected-one-of = expected one of { $known }

## Kinds of state
kind-booting = starting
kind-ready = ready
kind-working = working
kind-updating = updating its firmware
kind-fault = fault
kind-reset-acknowledged = reset acknowledged
kind-reset-aborted = reset aborted
kind-off = dark
kind-other = other
