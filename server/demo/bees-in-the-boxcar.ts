/**
 * The fast song of the demo, in four, lead and tenor; the tenor answers in the chorus's first silence. Words and
 * tune are the project's own.
 */
export const BEES_IN_THE_BOXCAR = `X:2
T:Bees in the Boxcar
M:4/4
L:1/8
Q:1/4=208
V:lead name="Lead"
V:tenor name="Tenor"
K:A
P:Verse
[V:lead] E2 | "A" A2 B2 c2 A2 | c2 B2 A2 F2 | E4 z4 | z6
w: 1.~They parked a box-car when they closed the mill,
w: 2.~The sta-tion mas-ter wrote a no-tice out,
w: 3.~So when I mar-ried Del-la in the fall,
[V:tenor] z2 | z8 | z8 | z8 | z6
[V:lead] E2 | "A" A2 B2 c2 A2 | "Bm" d2 c2 B2 A2 | "E" B6 z2 | "E7" z6
w: The door has rust-ed o-pen, stand-ing still;
w: He tacked it up and gave the door a clout;
w: We brought a wash-tub down to hold it all;
[V:tenor] z2 | z8 | z8 | z8 | z6
[V:lead] c2 | "A" e2 e2 c2 A2 | "G" d2 d2 B2 =G2 | "A" A2 z6 | z6
w: A swarm came down the track from who knows where,
w: They signed it one by one a-cross his nose,
w: The preach-er licked his fin-gers, dropped the ring,
[V:tenor] z2 | z8 | z8 | z8 | z6
[V:lead] E2 | "A" A2 B2 c2 A2 | "E7" B2 A2 G2 B2 | "A" A6 z2 | z6 |
w: And not a one of them had paid the fare.
w: And that's as far as a-ny pa-per goes.
w: And ev-ery bee in there be-gan to sing.
[V:tenor] z2 | z8 | z8 | z8 | z6 |
P:Chorus
[V:lead] A2 | "D" d2 cd e2 d2 | "A" c2 c2 A2 B2 | c6 z2 | z8 |
w: There's bees in the box-car, hon-ey on the rail,
[V:tenor] c2 | f2 ef a2 f2 | e2 e2 c2 d2 | e6 z2 | c2 d2 e4 |
w: There's bees in the box-car, hon-ey on the rail, on the rail,
[V:lead] "D" d2 cd e2 d2 | "A" c2 B2 A2 c2 | "E" B8- | "E7" B2 z2
w: No-bod-y's wait-ing on the morn-ing mail;_
[V:tenor] f2 ef a2 f2 | e2 d2 c2 e2 | g8- | g2 z2
w: No-bod-y's wait-ing on the morn-ing mail;_
[V:lead] G2 B2 | "A" e2 e2 c2 A2 | "D" d2 e2 d2 d2 | "F#m" c4 z4 | "E" z6
w: Come and run your thumb a-long the floor-board seam,
[V:tenor] B2 d2 | a2 a2 e2 c2 | f2 a2 f2 f2 | f4 z4 | z6
w: Come and run your thumb a-long the floor-board seam,
[V:lead] B2 | "D" d2 cd e2 d2 | "E7" B2 A2 G2 B2 | "A" A6 z2 | z6 |
w: It's sweet-er than a-ny-thing that ran on steam.
[V:tenor] e2 | f2 ef a2 f2 | d2 c2 B2 d2 | c6 z2 | z6 |
w: It's sweet-er than a-ny-thing that ran on steam.
P:Tag
[V:lead] B2 | "D" d2 cd e2 d2 | "E7" B2 A2 G2 B2 | "A" A8- | A4 z4 | "D" z4 "E7" z4 | "A" z8 |]
w: It's sweet-er than a-ny-thing that ran on steam._
[V:tenor] e2 | f2 ef a2 f2 | d2 c2 B2 d2 | c8- | c4 z4 | z8 | z8 |]
w: It's sweet-er than a-ny-thing that ran on steam._
`;
