# Alle Texte, die ein Kunde sieht, auf Deutsch. Die anderen Dateien in diesem Ordner enthalten dieselben Texte.

## Die Seite
page-next = Was jetzt zu tun ist
page-seen = Was zu sehen war
page-timeline = Was die Lampe wann zeigte
page-sure = Wie sicher
page-also = Was es auch sein könnte
page-could = Was es sein könnte
page-could-if-lamp = Was es sein könnte, falls das überhaupt eine Lampe ist
page-settle = Was Klarheit brächte
page-warnings = Was die Deutung unsicherer macht
page-earlier = Früheres in diesem Fall und was dazu geraten wurde
ago = Vor { $time }
page-footage = Die Aufnahme
page-no-table = Ohne Tabelle gelesen
page-light = Lampe { $number }
page-others = { $count ->
    [one] Eine weitere Lampe war im Bild; sie wurde nicht verwendet.
   *[other] { $count } weitere Lampen waren im Bild; sie wurden nicht verwendet.
}
page-footer = Eine dunkle Lampe beweist nie, dass der Strom aus ist. Eine Anzeigelampe ist keine Sicherheitseinrichtung.

column-from = Von
column-to = Bis
column-meaning = Bedeutung
column-sure = Wie sicher

## Das Diagramm
plot-title = Von { $from } bis { $to } s
plot-about = Wie hell die Lampe war, von { $from } bis { $to } Sekunden; { $flashes ->
    [0] sie leuchtete nie.
    [one] sie leuchtete einmal.
   *[other] sie leuchtete { $flashes } Mal.
}
plot-key = Die Linie zeigt, wie hell die Lampe war; die Kästchen in der Zeile „ist“ sind die Zeiten, in denen sie leuchtete.
plot-key-table = Die gestrichelte Linie und die Zeile „soll“ zeigen, was sie nach der Tabelle tun soll, so gut wie möglich darübergelegt.
plot-key-hidden = Grau mit „?“ heißt: nicht im Bild. Das ist nicht dasselbe wie dunkel.
plot-cut = Gezeichnet sind nur die ersten { $seconds } s.
picture-key = Ein Strich ist eine Sekunde; grau heißt: nicht im Bild. Das ist nicht dasselbe wie dunkel.
plot-bright = hell
plot-dark = dunkel
plot-seen = ist
plot-table = soll

## Bilder der Lampe
pictures-key = Die Lampe in den Augenblicken, die den Ausschlag gaben; sonst ist hier nichts von der Aufnahme aufbewahrt.
picture-alt = Die Lampe bei { $what }
lit = leuchtet
dark = dunkel

## Was gemessen wurde
measured-colour = Farbe
measured-rhythm = Rhythmus
measured-period = Ein Durchgang
measured-on = Leuchtet jeweils
measured-flashes = Leuchtete
measured-seen = Im Bild, Anteil der Einzelbilder
measured-place = Ort
place = { $x } nach rechts, { $y } nach unten, Radius { $radius } Bildpunkte; sieht aus wie eine Lampe: { $score }
place-pointed = { $x } nach rechts, { $y } nach unten, Radius { $radius } Bildpunkte; Sie haben darauf gezeigt

## Worte an mehreren Stellen
caution = Vorsicht
no-step = Die Tabelle nennt dazu keinen Schritt.
forgotten-row = Sollte der Tabelle diese Zeile fehlen, würde sie so lauten:
not-in-table = nicht in der Tabelle

## Farben
red = rot
amber = bernsteinfarben
yellow = gelb
green = grün
cyan = türkis
blue = blau
violet = violett
white = weiß
warm-white = warmweiß

## Das Blatt einer Übung
drill-title = Übung im Zurücksetzen: { $device }
drill-clip = Video
drill-try = Versuch
drill-began = begann bei
drill-held = gehalten
drill-answered = Antwort bei
drill-short = zu kurz um
drill-verdict = Ergebnis
drill-hint = Hinweis
drill-took = angenommen
drill-too-short = zu früh losgelassen
drill-refused = vom Gerät abgelehnt
drill-unclear = nicht zu erkennen
drill-none = kein Zurücksetzen zu sehen
drill-unreadable = nicht lesbar
drill-hint-took = Lange genug gehalten. Lassen Sie die Taste los, sobald die Lampe antwortet.
drill-hint-longer = Halten Sie die Taste mindestens { $needed } s lang gedrückt, gezählt ab dem Augenblick, in dem die Lampe zu reagieren beginnt, und zur Sicherheit eine Sekunde länger.
drill-hint-film-earlier = Angenommen. Filmen Sie schon, bevor die Taste gedrückt wird, damit die Zeit gemessen werden kann.
drill-hint-refused = Die Lampe meldet eine Ablehnung, obwohl die Taste lange genug gehalten wurde. Sehen Sie nach, was dieses Gerät sonst noch verlangt.
drill-hint-unclear = Filmen Sie noch einmal: aus der Nähe und ruhig; die Lampe muss schon vor dem Drücken der Taste im Bild sein und im Bild bleiben, bis sie sich nicht mehr ändert.
drill-hint-none = Beginnen Sie zu filmen, bevor die Taste gedrückt wird, und hören Sie erst auf, wenn sich die Lampe nicht mehr ändert; der Finger gehört neben die Lampe, nicht davor.
drill-sum = { $took } von { $tries ->
    [one] 1 Versuch
   *[other] { $tries } Versuchen
} angenommen.
drill-caution = Zurücksetzen löscht die Einstellungen des Geräts. Üben Sie an einem, auf dem nichts ist, was noch gebraucht wird.
drill-key = Alle Zeiten zählen ab dem ersten Bild des Videos, so wie die Lampe sie zeigt: War die Taste schon gedrückt, bevor die Lampe reagierte, so wurde sie länger gehalten.
at-least = mindestens { $what }

## Viele Aufnahmen
outcome-decided = entschieden
outcome-undecided = nicht entschieden
outcome-unlisted = in keiner Zeile der Tabelle
outcome-unseen = keine Lampe gut genug zu sehen
outcome-unreadable = nicht lesbar
same-as = (dieselbe Datei wie { $clip })
triage-sum = { $count ->
    [one] Eine Aufnahme:
   *[other] { $count } Aufnahmen:
}
triage-kinds = Arten des Zustands:
triage-copies = { $count ->
    [one] 1 davon ist eine Kopie einer anderen.
   *[other] { $count } davon sind Kopien anderer.
}
time-left = noch { $time }
triage-first = Zuerst anzusehen:
triage-more = und { $count } weitere

## Die erste Zeile
head-decided = Die Lampe bedeutet „{ $title }“ ({ $sure }).
head-unlisted = Die Lampe tut etwas, das nicht in der Tabelle steht ({ $sure }).
head-unseen-clip = In diesem Video war keine Lampe gut genug zu sehen, deshalb gibt es keine Deutung.
head-unseen-photo = Auf diesem Foto war keine Lampe gut genug zu sehen, deshalb gibt es keine Deutung.
head-unseen-photos = Auf diesen Fotos war keine Lampe gut genug zu sehen, deshalb gibt es keine Deutung.
head-open-clip = Nicht entschieden: Dieses Video zeigt nicht, welche Zeile der Tabelle es ist.
head-open-photo = Nicht entschieden: Dieses Foto zeigt nicht, welche Zeile der Tabelle es ist.
head-open-photos = Nicht entschieden: Diese Fotos zeigen nicht, welche Zeile der Tabelle es ist.
head-undecided-clip = Nicht entschieden: Dieses Video zeigt vielleicht { $rows }.
head-undecided-photo = Nicht entschieden: Dieses Foto zeigt vielleicht { $rows }.
head-undecided-photos = Nicht entschieden: Diese Fotos zeigen vielleicht { $rows }.
head-nothing-clip = In diesem Video war keine Lampe gut genug zu sehen.
head-nothing-photo = Auf diesem Foto war keine Lampe gut genug zu sehen.
head-nothing-photos = Auf diesen Fotos war keine Lampe gut genug zu sehen.
head-seen = { $count ->
    [one] Eine Lampe war zu sehen: { $what }. Es wurde keine Tabelle angegeben, deshalb bleibt offen, was das bedeutet.
   *[other] { $count } Lampen waren zu sehen, die deutlichste: { $what }. Es wurde keine Tabelle angegeben, deshalb bleibt offen, was das bedeutet.
}
something-unlisted = etwas, das nicht in der Tabelle steht
other-rows = { $count ->
    [one] 1 weitere Zeile
   *[other] { $count } weitere Zeilen
}
photo-note = Das ist ein Foto; ein Video würde zeigen, was die Lampe im Lauf der Zeit tut.
photos-note = Das sind { $count } Fotos, gelesen als Augenblicke desselben Zustands; ein Video würde zeigen, was die Lampe im Lauf der Zeit tut.
photos-show = Was jedes Foto zeigt
photo-shows = { $name }: { $what }
photo-no-lamp = keine Lampe zu sehen

## Wie sicher
sure-all-but = so gut wie sicher
sure-very = sehr sicher
sure-fairly = ziemlich sicher
sure-not-very = nicht sehr sicher
sure-not = unsicher
over-99 = über 99 %
under-1 = unter 1 %
all = 100 %
none = 0 %

## Was eine Lampe tut
rhythm-off = die ganze Zeit dunkel
rhythm-fixed = leuchtet die ganze Zeit
rhythm-flashing = blinkt
rhythm-group = blinkt in Gruppen zu je { $count }
rhythm-alternating = wechselt regelmäßig die Farbe
rhythm-breathing = wird langsam heller und dunkler
rhythm-irregular = ändert sich ohne Rhythmus
rhythm-unknown = kein Rhythmus zu erkennen
no-colour = keine Farbe zu sehen
none-seen = keine zu sehen
one-cycle-in = ein Durchgang in { $seconds } s
times = { $count ->
    [one] 1 Mal
   *[other] { $count } Mal
}

## Der Bericht als Text
next = Jetzt zu tun:
rests-on = Worauf das beruht:
warnings = Warnungen:
label-footage = Aufnahme:
label-table = Tabelle:
label-when = Wann:
label-place = Ort
label-colour = Farbe
label-rhythm = Rhythmus
label-cycle = Durchgang
label-on = leuchtet
label-flashes = leuchtete
label-seen = im Bild
at-a-time = jeweils { $seconds }
of-the-frames = { $share } der Einzelbilder
rows = { $count ->
    [one] 1 Zeile
   *[other] { $count } Zeilen
}
no-table = keine
size = { $width } x { $height } Bildpunkte
a-photo = ein Foto, { $size }
some-photos = { $count } Fotos; das Folgende gilt für das deutlichste, { $name }, { $size }
a-clip = ein Video von { $seconds } s, { $frames ->
    [one] 1 Einzelbild
   *[other] { $frames } Einzelbilder
} ({ $rate } je Sekunde), { $size }
to = bis
light-of-table = Lampe „{ $id }“, { $label }:
the-light-title = Die Lampe:
light-number = Lampe { $number }:
other-lamps = Andere Lampen im Bild, nicht verwendet: bei { $places }.
could-also-be = Es könnte auch sein:
could-be = Es könnte sein:
could-be-if-lamp = Es könnte sein, falls das überhaupt eine Lampe ist:
would-settle = Was Klarheit brächte:
strip-half = kleiner Buchstabe halb hell
strip-lit = hell, Farbe nicht zu erkennen
strip-half-lit = halb hell, Farbe nicht zu erkennen
strip-dark = dunkel
strip-unseen = nicht zu sehen
quoted = „{ $what }“
and = und
or = oder

## Wie lange es dauert
lasts-usually = Das dauert gewöhnlich { $time }
lasts-at-most = höchstens { $time }
lasts-so-far = bisher { $time }
lasts-overdue = Es dauert schon länger als die { $time }, die die Tabelle nennt: Etwas stimmt nicht.

## Schritte
as-in-step = wie bei Schritt { $step }.
step-if-yes = Falls die Antwort bei Schritt { $step } Ja ist:
step-if-no = Falls die Antwort bei Schritt { $step } Nein ist:
step-otherwise = Falls das nicht hilft: { $what }
step-with = Geben Sie dazu weiter: { $what }.
step-hand-on = Hören Sie hier auf und geben Sie den Fall mit diesem Bericht weiter: { $why }.
step-until = Während der ersten { $time }: { $what }
step-until-powered = Bis das Gerät { $time } lang Strom hatte: { $what }
step-for-another = Noch bis zu { $time } lang: { $what }
step-after = Erst nach { $time } in diesem Zustand: { $what }
step-after-powered = Erst wenn das Gerät { $time } lang Strom hatte: { $what }
step-between = Nach { $from } in diesem Zustand und vor Ablauf von { $to }: { $what }
step-between-powered = Nach { $from } mit Strom und vor Ablauf von { $to }: { $what }
hand-on-all-done = Alle Schritte, die die Tabelle dazu nennt, sind getan, oder ihre Zeit ist vorbei.
hand-on-unlisted = Die Lampe tut etwas, das nicht in der Tabelle steht.
fact-lasted = wie lange es schon so ist: { $time }
fact-powered = wie lange das Gerät schon Strom hat: { $time }
fact-tried = was versucht wurde ({ $what })
the-light = die Lampe
ask-table = Geben Sie die Lampentabelle des Geräts an, um zu erfahren, was das bedeutet.
ask-right-table = Prüfen Sie, ob es das Gerät ist, das die Tabelle beschreibt: { $device }.
ask-which = Fragen Sie, was davon zutrifft: { $rows }? Das sieht alles gleich aus; kein Video kann es unterscheiden.
ask-how-long = Fragen Sie, wie lange es schon so ist: { $spans }.
ask-lasts = „{ $title }“ dauert höchstens { $time }

## Vorsicht
caution-dark = Eine dunkle Lampe beweist nicht, dass der Strom aus ist. Behandeln Sie das Gerät so, als stünde es unter Spannung.
caution-erases = Das löscht: { $what }. Sorgen Sie dafür, dass das vorher aufgeschrieben oder gesichert ist.
caution-erases-settings = Zurücksetzen löscht die Einstellungen des Geräts. Sorgen Sie dafür, dass sie vorher aufgeschrieben sind.
caution-keep-power = Das Gerät tauscht vielleicht gerade seine Firmware aus. Lassen Sie den Strom angeschlossen, bis es fertig ist.
caution-power = Nur mit trockenen Händen. Öffnen Sie keine Geräte, die unter Netzspannung stehen. Steigen Sie nur auf eine gesicherte Leiter, und nur, wenn jemand dabei ist. Die Regeln vor Ort, die örtlichen Vorschriften für Elektroanlagen und das, was Fachleuten vorbehalten ist, gehen vor.
caution-bright = Blicken Sie nicht in eine helle Lampe oder in einen Glasfaseranschluss; sehen Sie auf den Bildschirm des Telefons.

## Wie zu filmen ist, als Satz
film-first = Filmen Sie { $time } lang, und zwar so nah, dass { $lamp } auf dem Bildschirm deutlich zu sehen ist.
film-longer = Filmen Sie die Lampe noch einmal, { $seconds } s länger als diesmal.
film-longer-open = Filmen Sie die Lampe noch einmal und länger, damit sich das, was sie tut, ein paar Mal wiederholt.
film-clip = Filmen Sie { $seconds } s lang; ein Foto kann nicht zeigen, was die Lampe im Lauf der Zeit tut.
film-slow-motion = Filmen Sie noch einmal in Zeitlupe, mit { $fps } Bildern je Sekunde oder mehr.
film-faster = Filmen Sie noch einmal mit { $fps } Bildern je Sekunde oder mehr; das lässt sich in den Einstellungen der Kamera wählen.
film-closer = Filmen Sie noch einmal aus größerer Nähe, damit die Lampe im Bild groß ist.
film-brace = Stützen Sie das Telefon an etwas Festem ab und halten Sie es ruhig.
film-white-sheet = Halten Sie ein weißes Blatt Papier neben die Lampe und filmen Sie beides.
film-keep-in-view = Behalten Sie die Lampe die ganze Zeit im Bild, ohne Finger davor.
film-darker = Tippen Sie auf dem Bildschirm auf die Lampe und ziehen Sie vor dem Filmen die Helligkeit herunter.
film-brighter = Tippen Sie auf dem Bildschirm neben der Lampe auf das Gerät und ziehen Sie vor dem Filmen die Helligkeit hinauf.
film-less-light = Filmen Sie noch einmal mit weniger Licht auf dem Gerät, im Schatten oder ohne Raumbeleuchtung: Die Kamera belichtet dann länger.
film-one-lamp = Filmen Sie noch einmal so, dass nur die fragliche Lampe im Bild ist.
film-point-again = Lesen Sie das Video noch einmal mit der Stelle der fraglichen Lampe nach --at oder ohne --at.
film-point-if-plain = Wenn die Lampe in diesem Video trotzdem deutlich zu sehen ist, ob an oder aus: Lesen Sie es noch einmal mit ihrer Stelle nach --at.
film-point-if-there = Sehen Sie sich das Video an: Ist das bei { $place } die Lampe, ob an oder aus, lesen Sie es noch einmal mit --at { $place }; ist die Lampe woanders, mit ihrer eigenen Stelle nach --at.
film-every-lamp = Filmen Sie so, dass alle Lampen des Geräts im Bild sind.
send-as-made = Schicken Sie die Datei so, wie das Telefon sie gespeichert hat, nicht weitergeleitet oder bearbeitet.
copy-again = Kopieren Sie die Datei noch einmal vom Telefon, oder filmen Sie noch einmal.

## Dasselbe in wenigen Worten
phrase-ask = fragen, was davon zutrifft: { $rows }
phrase-longer = { $seconds } s länger filmen
phrase-longer-open = länger filmen
phrase-clip = { $seconds } s filmen, statt zu fotografieren
phrase-faster = mit { $fps } Bildern je Sekunde oder mehr filmen
phrase-closer = näher und ruhiger filmen
phrase-brace = das Telefon abstützen
phrase-white-sheet = ein weißes Blatt neben die Lampe halten
phrase-keep-in-view = die Lampe im Bild behalten
phrase-darker = mit weniger Belichtung filmen
phrase-brighter = mit mehr Belichtung filmen
phrase-less-light = mit weniger Licht auf dem Gerät filmen
phrase-one-lamp = nur diese Lampe filmen
phrase-point-again = noch einmal sagen, welche Lampe es ist

## Warnungen
warn-photo = Ein Foto zeigt einen Augenblick und keinen Rhythmus: Eine leuchtende Lampe kann blinken, eine dunkle auch.
warn-photos = Fotos zeigen Augenblicke und keinen Rhythmus. Sie wurden als Augenblicke desselben Zustands gelesen: Hat die Lampe dazwischen ihren Zustand gewechselt, gilt das hier nicht.
warn-assumed-colour = Die Datei sagt nicht, wie ihre Farben kodiert sind; das Übliche wurde angenommen.
warn-damaged = Die Datei ist beschädigt. Einzelbilder, die nicht gut zu lesen waren: { $bad } von { $all }.
warn-untimed = Einzelbilder, die keine eigene Zeit haben und weggelassen wurden: { $count }.
warn-ended-early = Die Datei ist abgeschnitten: Es gab mehr zu sehen, als gelesen werden konnte.
warn-not-found = Zu „{ $id }“ ({ $label }) wurde keine Lampe gefunden; sie war vielleicht dunkel.
warn-hand-shake = Das Telefon wurde bewegt: { $pixels } Bildpunkte von Bild zu Bild.
warn-small-lamp = Die Lampe ist klein im Bild: { $pixels } Bildpunkte breit.
warn-overexposed = Die Lampe ist überbelichtet: { $share } ihrer Fläche am oberen Anschlag der Helligkeit.
warn-too-dark = Das Bild ist dunkel: Auch wenn sie leuchtet, hat die Lampe nur { $share } der Helligkeit von Weiß.
warn-alias = Mit { $fps } Bildern je Sekunde ist nicht zu unterscheiden, ob die Lampe { $shown } oder { $others } Mal je Sekunde blinkt.
warn-alias-or = oder
warn-beat = Solange die Lampe leuchtet, schwankt ihre Helligkeit { $rate } Mal je Sekunde um { $share }: Das kommt vom Zusammenspiel der Bildrate mit gepulstem Dimmen oder dem Stromnetz und ist kein Rhythmus des Geräts.
warn-nothing-lit = In diesem Video leuchtet nichts auf. Wo --at hinzeigt, ist vielleicht gar keine Lampe: Eine dunkle ist davon nicht zu unterscheiden.
warn-often-hidden = Die Lampe war verdeckt oder nicht im Bild; zu sehen: { $share }.
warn-lamp-beside = Wo --at hinzeigt, leuchtet in diesem Video nichts auf; eine Lampe leuchtet { $x } nach rechts, { $y } nach unten. Das dunkle Ergebnis kann von der falschen Stelle sein.
warn-several-lamps = { $count } Lampen kommen gleich gut infrage; es kann die falsche sein.
warn-few-cycles = Vom Rhythmus waren nur { $cycles } Durchgänge zu sehen; zwei sind das Mindeste.
warn-partly-seen = Die Lampe war in { $share } der Einzelbilder zu sehen.
warn-fast-rhythm = { $fps } Bilder je Sekunde reichen nicht, um eine Lampe zu zeigen, die { $rate } Mal je Sekunde blinkt.
warn-changed-at-end = Ab { $from } s zeigt die Lampe etwas anderes, aber zu kurz, um zu sagen, was.
warn-perhaps-pulses = Die Lampe blinkt in Gruppen, was in keiner Zeile steht, oder eine Zeile passt und sie wird mit Pulsen gedimmt, die { $rate } Mal je Sekunde zwischen die Einzelbilder fallen.
warn-perhaps-flicker = Die Lampe flackert { $rate } Mal je Sekunde, oder sie wird mit Pulsen gedimmt, die ebenso oft zwischen die Einzelbilder fallen; der Clip sieht gleich aus.
warn-near-colours = Die Farbe kann { $first } oder { $second } sein; die Kamera kann die beiden nicht unterscheiden.

## Aufnahmen, die nicht gelesen werden können, nach dem Namen der Datei, und was zu tun ist
footage-not-found = Diese Datei gibt es nicht
footage-not-readable = Die Datei lässt sich nicht lesen ({ $why })
footage-empty = Die Datei ist leer
footage-no-footage = Dem Inhalt nach ist das weder ein Video noch ein Foto
footage-cut-off = Die Datei ist unvollständig, wie nach einer abgebrochenen Übertragung: Ein Teil, ohne den sie sich nicht öffnen lässt, fehlt
footage-damaged = Die ersten Bytes sagen { $kind }, aber im Innern ist die Datei beschädigt
footage-no-video = Die Datei enthält kein Video, nur Ton oder Daten
footage-codec = Video im Format { $codec } kann hier nicht gelesen werden
footage-codec-unknown = Das Video ist auf unbekannte Weise kodiert
footage-not-a-photo = Das ist ein Video; mehrere Dateien werden nur dann zusammen gelesen, wenn alle Fotos sind
footage-photo-form = Ein Foto im Format { $form } kann hier nicht gelesen werden
footage-samples = Bilder mit Bildpunkten im Format { $form } können hier nicht gelesen werden
footage-mirrored = Das Video soll laut Datei gespiegelt oder schräg gezeigt werden
footage-too-many-pixels = Ein Bild hat { $actual } Bildpunkte; gelesen werden höchstens { $limit }
footage-too-many-frames = Das Video hat { $actual } Einzelbilder; gelesen werden höchstens { $limit }
footage-too-long = Das Video dauert { $actual } s; gelesen werden höchstens { $limit } s
footage-too-many-bytes = Das Foto hat { $actual } Byte; gelesen werden höchstens { $limit }
footage-no-frames = Kein einziges Bild ließ sich dekodieren; { $lost ->
    [one] 1 Paket ging verloren
   *[other] { $lost } Pakete gingen verloren
}
footage-size-changed = Die Bildgröße wechselt bei { $time } s: erst { $from }, dann { $to }
footage-decoder = Das Dekodieren der Bilder ist fehlgeschlagen ({ $why })
what-and-next = { $what }. { $next }.
next-check-path = Prüfen Sie, ob der Pfad richtig geschrieben ist und ob die Datei gelesen werden darf
next-check-disk = Prüfen Sie die Zugriffsrechte und den Datenträger, oder kopieren Sie die Datei und versuchen Sie es mit der Kopie
next-send-again = Schicken Sie die Originaldatei noch einmal
next-send-known-kind = Schicken Sie ein Video als MP4, MOV, 3GP, MKV, WebM, AVI oder GIF oder ein Foto als JPEG, PNG, WebP, HEIC oder AVIF
next-send-whole = Schicken Sie die Originaldatei noch einmal und warten Sie, bis sie ganz übertragen ist
next-send-unrepaired = Schicken Sie die Originaldatei noch einmal, keine reparierte oder umbenannte Kopie
next-send-video = Schicken Sie das Video selbst
next-save-h264 = Speichern oder teilen Sie das Video als H.264 („Maximale Kompatibilität“) und schicken Sie diese Fassung
next-read-alone = Lesen Sie ein Video für sich allein; ein Video sagt mehr als mehrere Fotos
next-save-jpeg = Stellen Sie die Kamera auf „Maximale Kompatibilität“ oder speichern Sie das Foto als JPEG oder PNG; besser noch: Schicken Sie ein Video
next-save-420 = Speichern Sie das Video als H.264 mit 4:2:0-Farben und schicken Sie diese Fassung
next-send-unedited = Schicken Sie das Original, wie die Kamera es geschrieben hat, ohne Bearbeitung
next-send-shorter = Schicken Sie ein kürzeres oder kleineres Video der Lampe
next-send-smaller = Schicken Sie ein kleineres Bild der Lampe
next-cut = Teilen Sie das Video an dieser Stelle und schicken Sie die Teile einzeln
next-more-memory = Versuchen Sie es mit mehr freiem Arbeitsspeicher; schlägt es wieder fehl, schicken Sie die Originaldatei noch einmal
why-not-found = Diese Datei oder diesen Ordner gibt es nicht
why-not-allowed = Die Zugriffsrechte erlauben es nicht
why-folder = Das ist ein Ordner
why-no-folder = Ein Teil des Pfads ist kein Ordner
why-disk-full = Der Datenträger ist voll
why-read-only = Der Datenträger ist schreibgeschützt
why-no-file = Das ist keine gewöhnliche Datei
why-name = Der Name ist zu lang oder enthält etwas, das in keinem Namen stehen darf
why-system = Das System meldet „{ $why }“

## Was die Befehlszeile bemängelt, und was zu tun ist
complaint = Fehler: { $what }
complaint-next = Hinweis: { $what }
failure = Das ist ein Fehler des Programms; bitte melden Sie ihn zusammen mit dem Befehl, den Sie eingegeben haben
failed-on-clip = Das Programm ist an dieser Aufnahme gescheitert
cannot-open = { $path } lässt sich nicht öffnen: { $why }
cannot-write = { $path } lässt sich nicht schreiben: { $why }
next-check-folder = Prüfen Sie, ob es den Ordner gibt und ob in ihn geschrieben werden darf
next-give-file = Geben Sie den Namen einer Datei an; einen ganzen Ordner mit Aufnahmen liest `lampwise triage`
next-give-file-in = Geben Sie den Namen einer Datei darin an
next-make-room = Schaffen Sie Platz auf dem Datenträger, oder schreiben Sie auf einen anderen
cannot-print = Die Ausgabe lässt sich nicht schreiben: { $why }
next-mend-table = Berichtigen Sie die Tabelle an der gezeigten Stelle; `lampwise table check` prüft sie noch einmal
next-give-table = Geben Sie die TOML-Datei an, die sagt, was die Lampen des Geräts bedeuten
table-no-text = { $path } ist keine Tabelle: Sie ist keine Textdatei
table-too-big = { $path } ist keine Tabelle: Die Datei ist länger als { $limit } Byte
table-broken = Die Tabelle { $path } hat { $count ->
    [one] einen Fehler
   *[other] { $count } Fehler, den ersten
} in Zeile { $line }, Spalte { $column }
changed-meanwhile = { $path }: Die Datei hat sich während des Lesens geändert
next-read-again = Lesen Sie sie noch einmal
no-lamp-found = In { $path } wurde keine Lampe gefunden
next-film-again = Schicken Sie die Datei so, wie das Telefon sie gespeichert hat, oder filmen Sie noch einmal; Videos und Fotos von Telefonen können gelesen werden
case-refused = Die Falldatei { $path } lässt sich nicht verwenden: { $why }
case-too-long = Sie ist zu lang für eine Falldatei
case-no-text = Sie ist keine Textdatei
case-changed = Sie wurde inzwischen von jemand anderem geändert
case-damaged = Sie ist in Zeile { $line } beschädigt oder wurde dort von Hand geändert
case-no-case = Ihr fehlt `schema`, sie ist also gar keine Falldatei
case-other-schema = Sie ist im Schema { $found } geschrieben, das dieses Programm nicht liest
next-case = Die Datei wurde nicht verändert; versuchen Sie es noch einmal, oder heben Sie sie auf und geben Sie eine andere an
case-of-another = { $path } ist die Falldatei eines anderen Geräts: { $device }
next-case-of-another = Geben Sie die Tabelle dieses anderen Geräts an, oder nehmen Sie für diesen Fall eine andere Falldatei
would-overwrite = { $path }: Diese Datei soll gelesen werden und würde überschrieben
next-other-name = Geben Sie zum Schreiben einen anderen Namen an
same-output = { $path }: Diese Datei ist für zwei Ausgaben zugleich angegeben
outside-picture = --at { $x },{ $y } liegt außerhalb des Bildes ({ $size })
next-count-pixels = Zählen Sie die Bildpunkte von der linken oberen Ecke aus, erst nach rechts, dann nach unten
place-in-several = --at ist eine Stelle in einem Bild; mehrere Fotos haben keine Stelle gemeinsam
next-no-place = Lassen Sie --at weg, oder geben Sie nur ein Foto an
no-such-name = { $option }: Den Namen „{ $name }“ gibt es in der Tabelle nicht
next-known-names = Die Tabelle kennt diese Namen: { $known }
next-no-names = Diese Tabelle hat keine solchen Namen; lassen Sie die Option weg
no-reset-row = { $path }: Keine Zeile der Tabelle steht für „Zurücksetzen angenommen“ oder „Zurücksetzen abgebrochen“ (reset-acknowledged, reset-aborted)
next-reset-table = Geben Sie die Tabelle eines Geräts an, dessen Lampe auf die Rücksetztaste antwortet
no-files = In { $path } sind keine Dateien
next-folder = Geben Sie den Ordner mit den Aufnahmen an
no-folder = { $path } ist eine Datei, gebraucht wird ein Ordner
next-folder-or-read = Geben Sie den Ordner an, in dem die Aufnahme liegt, oder lesen Sie diese eine mit `lampwise read`
journal-foreign = Das Protokoll { $path } lässt sich nicht fortsetzen: { $why }
journal-other-head = Es gehört zu einer anderen Tabelle, Schwelle oder Sprache oder zu einer anderen Version des Programms
journal-busy = Ein anderer Aufruf von triage arbeitet gerade damit
journal-line = Zeile { $line } darin ist kein Eintrag von triage
journal-none = Die Datei ist kein Protokoll von triage
next-journal = Geben Sie mit --journal eine andere Datei an, oder löschen Sie dieses Protokoll, um von vorn zu beginnen
next-wait-journal = Warten Sie, bis er fertig ist, oder geben Sie mit --journal eine andere Datei an
next-other-journal = Geben Sie mit --journal eine andere Datei an; diese bleibt, wie sie ist
no-command = Es wurde kein Befehl angegeben
unknown-command = Den Befehl { $word } gibt es nicht
unknown-argument = Das Argument { $word } gibt es hier nicht
similar = Meinten Sie { $word }?
argument-refused = „{ $value }“ ist kein Wert für { $argument }: { $why }
argument-empty = { $argument } braucht einen Wert
argument-no-value = { $argument } nimmt keinen Wert
argument-required = Es fehlt noch: { $arguments }
argument-conflict = { $argument } kann nicht zusammen mit { $other } angegeben werden
argument-twice = { $argument } wurde mehr als einmal angegeben
argument-no-text = Ein Argument ist kein Text
help-hint = `{ $command } --help` zeigt, was angegeben werden kann
expected-point = Erwartet werden zwei Zahlen in Bildpunkten, durch ein Komma getrennt, zum Beispiel 612,340
expected-slowness = Erwartet wird eine Zahl ab 1, zum Beispiel 8
expected-threshold = Erwartet wird eine Wahrscheinlichkeit ab 0.5 und unter 1, mit Punkt statt Komma, zum Beispiel 0.9
expected-condition = Erwartet wird ein Name oder ein Name mit =yes oder =no, zum Beispiel injector=no
expected-duration = Erwartet wird eine Dauer mit ihrer Einheit, zum Beispiel "90 s", "6 min" oder "1 h 20 min"
expected-jobs = Erwartet wird eine ganze Zahl von 1 bis 256
expected-language = Erwartet wird eines von { $known }
expected-one-of = Erwartet wird eines von { $known }

## Arten des Zustands
kind-booting = startet
kind-ready = bereit
kind-working = arbeitet
kind-updating = aktualisiert seine Firmware
kind-fault = Störung
kind-reset-acknowledged = Zurücksetzen angenommen
kind-reset-aborted = Zurücksetzen abgebrochen
kind-off = dunkel
kind-other = anderes
