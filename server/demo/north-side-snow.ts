/** The slow song of the demo, a waltz with swing. Words and tune are the project's own. */
export const NORTH_SIDE_SNOW = `X:1
T:North Side Snow
M:3/4
L:1/8
Q:1/4=84
%%breathmark-swing 2
K:G
P:Kick-off
z2 | "C" z6 | "G" z6 | "Am" z6 | "D7" z6 | "G" z6 | "C" z6 | "G" z6 | "G" z4 |
P:Verse
D2 | "G" G4 A2 | (B3 A) G2 | "C" E2 G2 z2 | "G" z4
w: 1.~The hill went brown_ in A-pril,
w: 2.~My fa-ther marked_ it year-ly
w: 3.~I took a tin_ cup to it
D2 | "G" G4 A2 | "Em" B4 G2 | "A7" A6 | "D7" z4
w: The ditch-es ran with rain,
w: With pen-cil on the door;
w: And set it on the sill;
B2 | "C" c4 B2 | "G" d4 B2 | "Am" c2 A2
w: And still be-hind the hay barn
w: The last one in his writ-ing
w: It made one swal-low's wa-ter,
G2 | "D7" F4 A2 | (c3 B) A2 | "G" G6- | "C" G2 z4 | "G" z4 |
w: One white patch would_ re-main._
w: Says June, and noth--ing more._
w: And I have got_ it still._
P:Chorus
Bd | "C" e4 d2 | "G" B4 G2 | "Am" c2 A2 z2 | "D7" z6 |
w: North side snow, you're slow at leav-ing,
"G" B4 AG | "C" E4 G2 | "D" A6- | "D7" A2 z2
w: Slow as a guest I know;_
d2 | "C" e4 d2 | "G" d4 B2 | "F" cA z4 | "D7" z6 |
w: The sun has called you o-ver,
"G" G4 A2 | "D7" A2 F2 DF | "G" G6- | "C" G4 z2 | "G" z6 | "D7" z4 |
w: Stay one night more, north side snow._
P:Tag
D2 | "G" G4 A2 | "Am" c2 A2 "D7" DF | "G" G6- | "C" G4 z2 | "G" z6 | "D7" z2 "G" z4 |]
w: Oh, stay one night more, north side snow._
`;
