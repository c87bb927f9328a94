# Alle Texte, die ein Kunde sieht, auf Deutsch. Die anderen Dateien in diesem Ordner enthalten dieselben Texte.

## Die Seite
page-next = Was jetzt zu tun ist
page-seen = Was zu sehen war
page-timeline = Was die Lampe wann zeigte
page-sure = Wie sicher
page-also = Es könnte auch sein
page-could = Es könnte sein
page-settle = Was Klarheit brächte
page-warnings = Was die Deutung unsicherer macht
page-earlier = Früheres in diesem Fall, und was dazu geraten wurde
ago = vor { $time }
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
plot-bright = hell
plot-dark = dunkel
plot-seen = ist
plot-table = soll

## Bilder der Lampe
pictures-key = Die Lampe in den Augenblicken, die den Ausschlag gaben; sonst ist hier nichts von der Aufnahme aufbewahrt.
picture-alt = Die Lampe, { $what }
lit = leuchtet
dark = dunkel

## Was gemessen wurde
measured-colour = Farbe
measured-rhythm = Rhythmus
measured-period = Ein Umlauf
measured-on = Leuchtet jeweils
measured-flashes = Leuchtete
measured-seen = Im Bild, von den Einzelbildern
measured-place = Ort
place = { $x } nach rechts, { $y } nach unten, Radius { $radius } Bildpunkte; sieht aus wie eine Lampe: { $score }

## Worte an mehreren Stellen
caution = Vorsicht
no-step = Die Tabelle nennt dazu keinen Schritt.
not-in-table = nicht in der Tabelle

## Farben
red = rot
amber = bernsteingelb
yellow = gelb
green = grün
cyan = türkis
blue = blau
violet = violett
white = weiß
warm-white = warmweiß

## Das Blatt einer Übung
drill-title = Übung im Zurücksetzen: { $device }
drill-clip = Aufnahme
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
drill-hint-longer = Halten Sie die Taste mindestens { $needed } s, gezählt ab dem Augenblick, in dem die Lampe auf sie reagiert, und zur Sicherheit eine Sekunde länger.
drill-hint-film-earlier = Angenommen. Filmen Sie schon, bevor die Taste gedrückt wird, damit die Zeit gemessen werden kann.
drill-hint-refused = Die Lampe lehnt ab, obwohl die Taste lange genug gehalten wurde. Sehen Sie nach, was dieses Gerät sonst noch verlangt.
drill-hint-unclear = Filmen Sie noch einmal: nah, ruhig, und so, dass die Lampe vom Drücken der Taste an zu sehen ist, bis sie sich nicht mehr ändert.
drill-hint-none = Filmen Sie, bevor die Taste gedrückt wird und bis sich die Lampe nicht mehr ändert; der Finger gehört neben die Lampe, nicht davor.
drill-sum = { $took } von { $tries ->
    [one] einem Versuch
   *[other] { $tries } Versuchen
} angenommen.
drill-caution = Zurücksetzen löscht die Einstellungen des Geräts. Üben Sie an einem, auf dem nichts ist, was noch gebraucht wird.
drill-key = Alle Zeiten zählen ab dem ersten Bild der Aufnahme, so wie die Lampe sie zeigt: War die Taste schon gedrückt, bevor die Lampe reagierte, so wurde sie länger gehalten.
at-least = mindestens { $what }

## Viele Aufnahmen
outcome-decided = entschieden
outcome-undecided = nicht entschieden
outcome-unlisted = in keiner Zeile der Tabelle
outcome-unseen = keine brauchbare Lampe
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
triage-first = Zuerst anzusehen:
triage-more = und { $count } weitere
