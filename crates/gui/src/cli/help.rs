//! The help.

/// What `rigwright --help` prints.
pub fn text() -> String {
    HELP.to_owned()
}

const HELP: &str = "\
Rigwright draws a guitar rig, from the pickup through every lead and pedal to
the amp, and shows what it does to the tone. Try a buffer, a shorter lead or
another order here before you buy or solder anything.

In a window:
  rigwright [FILE]        Opens a rig; with no file, the demo.
                            rigwright my-rig.ron

On the command line:
  rigwright report FILE   Prints every answer: where the peak lies, how much
                          lead the rig sounds like, the levels from low to high,
                          what each switch does among all states of the others,
                          what each run amounts to, what there is to know of it
                          with why and what mends it, and what is wrong.
                            rigwright report my-rig.ron
  rigwright compare FILE  Its variants side by side: peak, how much lead each
                          sounds like, its worst jump up to 10 kHz with no
                          low-impedance fuzz on, what it costs more, and by how
                          many dB it differs.
                            rigwright compare my-rig.ron
  rigwright power FILE    Prints what feeds what: loads, the voltage at each
                          plug, what is wrong and what mends it, ground loops.
                            rigwright power my-rig.ron
                            rigwright power my-rig.ron --allocate
  rigwright picture FILE --what chain|plot|power --out OUT
                          Writes the drawing, the level plot or the rails to a
                          file, as SVG or PNG by its name's ending.
                            rigwright picture my-rig.ron --what plot --out p.svg
  rigwright export FILE --as csv --what curves|parts --out OUT
                          Writes levels at each frequency, or what there is to
                          buy, as comma-separated values.
                            rigwright export my-rig.ron --as csv --what parts
                              --out parts.csv
  rigwright check FILE    Says what is plugged in wrong, if anything is, and
                          what there is to act on.
                            rigwright check my-rig.ron
  rigwright keys          Prints the key card: what each key does in the window,
                          and what the signs on the drawing mean.
                            rigwright keys
                            rigwright keys --out keys.svg
  rigwright help          Prints this.
                            rigwright help

What a report takes besides its file:
  --at HZ,HZ,...          Levels at these frequencies, in this order, with a
                          point for decimals: 2.4k.
                            rigwright report my-rig.ron --at 82,2.4k,5k
  --variant NAME          Only the variant of that name.
                            rigwright report my-rig.ron --variant \"All off\"
  --sound NAME            Switches and knobs as in that sound, and not as the
                          file was left; says what it asks for that a variant
                          lacks.
                            rigwright report my-rig.ron --sound \"Solo\"
  --set SWITCH=POSITION,...
                          These switches so, all others that feet work at rest;
                          knobs, and what a hand works, as they stand.
                            rigwright report my-rig.ron --set \"Wah=on,Fuzz=on\"
  --source NAME           Of several instruments this one is played; the others
                          are plugged in and silent.
                            rigwright report my-rig.ron --source \"Bass\"
  --vary hand             All states range over switches that a hand works, too.
                            rigwright report my-rig.ron --vary hand
  --power as-drawn        Units that get no power are without it, and not as if
                          they were fed: a buffer is silent, true bypass passes.
                            rigwright report my-rig.ron --power as-drawn
  --json                  The same for other programs, numbers in full.
                            rigwright report my-rig.ron --json
  --complex               With --json: levels as voltages with their phase, too.
                            rigwright report my-rig.ron --json --complex

What a comparison takes besides its file:
  --against NAME          Compares with that variant, and not with the first.
  --against straight      Compares with the guitar straight into the amp, with
                          its own lead.
                            rigwright compare my-rig.ron --against straight
  --sound NAME, --power as-drawn, --json
                          As for a report.
                            rigwright compare my-rig.ron --sound \"Solo\"

What power takes besides its file:
  --allocate              The best way to plug everything in, proved, however
                          long it takes.
  --json                  The same for other programs, numbers in full.

What a picture and a table take besides:
  --variant NAME          Of that variant: a drawing or rails otherwise show the
                          first, a plot or a table all of them.
  --sound NAME            Switches and knobs as in that sound.
  --look dark             A picture on a dark ground, and not on paper.
                            rigwright picture my-rig.ron --what chain
                              --out chain.png --look dark

Anywhere:
  -h, --help              Prints this.
  -V, --version           Prints the version.

The program ends with
  0   all is well; check found nothing wrong and nothing to act on
  1   check found something wrong, or something to act on
  2   it couldn't be done, or not all of it could be printed; one sentence
      says why
";
