//! What each code of a fault means, at length, for `plymend explain`.

/// A code and what stands behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Explained {
    /// The code.
    pub code: &'static str,
    /// What it is about, in a few words.
    pub title: &'static str,
    /// Why it is a fault, and what to do.
    pub text: &'static str,
    /// What would be wrong, and what would be right.
    pub example: &'static str,
}

/// The explanation of a code, in capitals or not.
#[must_use]
pub fn explained(code: &str) -> Option<&'static Explained> {
    CODES.iter().find(|known| known.code.eq_ignore_ascii_case(code))
}

macro_rules! codes {
    ($($code:literal, $title:literal, $text:literal, $example:literal;)+) => {
        &[$(Explained { code: $code, title: $title, text: $text, example: $example }),+]
    };
}

/// All codes, in alphabetical order.
pub const CODES: &[Explained] = codes! {
"COMPARE-NOT-ONE-BODY", "two surveys that are not of one body, or not in order",
"Two surveys can be compared where their body has the same name, they share panels, and the later one is not of an earlier day.",
"plymend compare van/survey.ron trailer/survey.ron";
"COMPARE-SKIN", "one panel with two skins",
"Marks are matched over the skin. Where two surveys describe one panel by different sizes or sections, a place on the one is no place on the other.",
"length_mm: 900 in the earlier survey and length_mm: 960 in the later one";
"PHOTO-CUT-SHORT", "a photo that is not whole",
"The picture's bytes end before its end mark: it was cut off while being copied. What is missing cannot be shown, and it might be the damage.",
"a copy that was broken off half way";
"PHOTO-KIND", "a photo that is neither JPEG nor PNG",
"The kind is told by the content, so that a wrong ending of the name does no harm. Raw pictures, films and documents are not read.",
"photos: [(file: \"notes.png\", what: \"close-up\")] where notes.png is a text";
"PHOTO-PIXELS", "a photo with too many pixels",
"A small file may claim a picture that fills any memory. Its claimed size is looked at before anything is decoded, and 100 megapixels is more than a report can show.",
"a PNG of 2 kB that claims 60 000 x 60 000 pixels";
"PHOTO-UNREADABLE", "a photo that cannot be decoded",
"The picture has its beginning and its end, but what lies between is damaged, is of a kind that no viewer shows, or was changed while it was read.",
"a photo from a broken memory card";
"READ-CONTRADICTION", "two answers that cannot both be true",
"The file says two things that exclude each other. The program does not choose between them, because the wrong one might hide damage.",
"layer: gel on a mark of kind chip; refinished: 1975 with built: 1982";
"READ-COUNTS", "the worst count of blisters is less than the mean",
"The worst place of a blister field cannot hold fewer blisters per dm2 than the field on average. The worst count is kept apart and never multiplies the field.",
"worst_per_dm2: 2, mean_per_dm2: 5 is refused; worst_per_dm2: 5, mean_per_dm2: 2 is accepted";
"READ-DEPTH", "a depth that does not fit the mark or the panel",
"A mark that is open to the back has the depth of the whole laminate. A depth in mm is depth of glass alone and cannot be more than the glass that is there: the measured thickness less the coats it includes.",
"depth: Glass(4.0) in a laminate of 3 mm; kind: hole with depth: gel";
"READ-EMPTY", "the file holds nothing",
"The file is empty or holds comments only. `plymend new` writes files to start from.",
"(format: 1, marks: []) is the shortest survey";
"READ-FIELD-MISSING", "a field that is always needed is missing",
"Most fields may be left out, and what is then assumed is listed in the answer. This one has no safe assumption.",
"a mark needs id, panel and kind";
"READ-FIELD-TWICE", "a field is written twice",
"Of two values for one field neither is taken, because nobody can tell which was meant.",
"(format: 1, air_c: 12, air_c: 21)";
"READ-FIELD-UNKNOWN", "a field this record does not have",
"A field that is not known is never skipped: it may be a slip in the name of one that matters. The nearest known name is offered.",
"thicknes_mm: 3 where thickness_mm: 3 is meant";
"READ-FORMAT-MISSING", "the file does not say its format",
"Every file starts with the number of its format, so that a later program can read it rightly.",
"(format: 1, ...)";
"READ-FORMAT-NEWER", "the file is of a newer format",
"The file was written for a newer program, and this one cannot know what it leaves out by reading it. It is refused before anything else is looked at.",
"format: 2 with a program that reads format 1";
"READ-FOUND-SIZE", "a found size that is missing or said twice",
"A mark that was opened up is worked at the size it was found at, so that size is given once: a crack by its length or by how far it goes beyond its recorded ends, an area by length and width or by its area.",
"(mark: 5, length_mm: 140) for a crack; (mark: 1, length_mm: 260, width_mm: 190) for an area";
"READ-GRID", "a grid of readings that is not whole",
"A grid has rows of the same number of readings, a text a row: c or d where it was tapped, figures of the meter where it was read, - where nothing was taken.",
"rows: Tapped([\"c d d\", \"c d\"])";
"READ-KIND", "it is not clear what this file is",
"`check` tells survey, body, panel, shop, stock, opened-up sizes, drying logs, hours of work and rule changes apart by their fields, not by their names. None of the fields here belongs to any of them.",
"a survey has marks or panels, a shop has day_c and night_c";
"READ-MANY", "more faults than are listed",
"One file has more than a thousand faults. Most of them usually have one cause, so the first thousand are listed and the rest are not.",
"a unit mistaken in every line of a long list";
"READ-METER", "a moisture reading without a meter",
"Readings of different meters cannot be compared. They count only against a reading of the same meter on a dry part of the same body.",
"meter: (kind: \"capacitance, scale 0 to 100\", reference: 9)";
"READ-MIRROR-LOOP", "panels mirror each other without end",
"A panel may take its surface from the one it mirrors, and that one from another; at the end of the row one has to have a surface of its own.",
"left.ron mirrors right.ron and right.ron mirrors left.ron";
"READ-MOMENT", "no day and time",
"Days and times are written year-month-day hour:minute, by the clock on the wall, so that the hours between two of them can be counted.",
"at: \"4.11. morning\"";
"READ-NAME-EMPTY", "a name without letters, or far too long",
"Names are printed in lists and used to point from one file to another.",
"name: \"\" is refused; name: \"left wing\" is accepted";
"READ-NAME-TWICE", "a name or number that is used twice",
"Marks, panels, landmarks, fixings and regions are found by their names, so each name stands once in its list.",
"two marks with id: 4";
"READ-NAME-UNKNOWN", "a name that nothing has",
"The file points to a panel, landmark, fixing, rule or generic moulding that does not exist. The nearest name is offered.",
"a: (\"frnt corner\", 300) where the panel has \"front corner\"";
"READ-NESTING", "brackets within brackets without end",
"Text nested this deeply is never a file of this program. It is refused before it is read, so that it cannot exhaust the program.",
"a bracket opened a thousand times and never closed";
"READ-NOT-A-FILE", "not a regular file",
"Only regular files are read. Folders, pipes and devices are refused without being opened, because reading them may never end.",
"plymend check /dev/zero";
"READ-NOT-TEXT", "not a text file",
"The file holds bytes that are no UTF-8 text: a picture, an archive, or a text saved in another encoding.",
"save the file as UTF-8 in the editor";
"READ-NOTHING", "an empty list where something has to be",
"An empty list says that there is none. Where that cannot be meant, or would hide what nobody looked at, it is refused.",
"fixings: Listed([]) is refused; none_seen says it after looking, unknown says nobody looked";
"READ-NUMBER", "not a usable number",
"NaN (not a number) and inf (without limit) are no measurements. They would spread through every sum.",
"length_mm: NaN";
"READ-OPEN", "the file cannot be read",
"The file is missing, or this user may not read it.",
"plymend check surwey.ron";
"READ-ORDER", "readings that are out of order or too far apart",
"Hours are judged between one reading and the next. Where a reading goes back in time, or hours pass that nobody read, there is nothing to judge by.",
"(at: \"2024-11-04 09:00\", ...) followed by (at: \"2024-11-04 13:30\", ...)";
"READ-OTHER-SURVEY", "sizes that belong to another survey",
"Opened-up sizes name marks by their numbers, and a number means another mark in another survey. The file says which survey it belongs to, and only that one takes it.",
"survey: \"survey-a.ron\" read with survey-b.ron";
"READ-OUTLINE", "an outline with too few corners",
"An area needs three corners or more, in order round it.",
"outline: [(0, 0), (100, 0)]";
"READ-OUTSIDE", "the file lies outside the job's folder",
"A job is read from one folder, so that it can be moved and handed on whole and no file can draw in others unseen. Links are followed before it is decided. Files named on the command line may lie anywhere.",
"shop: \"../other/shop.ron\"";
"READ-PANEL-SOURCE", "a panel with two skins, or none",
"A panel entry of a survey names a file or a generic moulding; a panel file has a surface or mirrors another panel. Both at once is a contradiction, neither leaves nothing to measure on.",
"(name: \"lid\", generic: \"lid\")";
"READ-PLACE", "a mark without a place, or with two",
"Every mark is placed once: on the grid, by two tapes, in space, or by its own traced points.",
"place: Taped(a: (\"front corner\", 410), b: (\"rear corner\", 530), side: upper)";
"READ-RANGE", "a figure that cannot be meant",
"The figure is outside what such a thing can measure. The limits are wide [choice]; what falls outside is nearly always a slip of the unit or of a digit.",
"thickness_mm: 300 where 3.0 is meant";
"READ-RULE", "a change the rule does not take",
"The figure is outside the range that the rule states, or the rule has no figure. `plymend explain` prints the rule with its range and reason.",
"changes: [(id: \"taper\", value: 2)]";
"READ-SEAM", "a seam that joins nothing",
"A seam says that two different panels are moulded in one along an edge of each. Each edge has a start and an end on its panel, given from the same end of the seam.",
"seams: [(one: (panel: \"wing\", along: [On(0, 0), On(0, 400)]), other: (panel: \"nose\", along: [On(900, 0), On(900, 400)]))]";
"READ-SECTIONS", "cross-sections that make no surface",
"A surface is drawn through two or more cross-sections in order along the panel, each with two or more points from the lower edge upwards.",
"at_mm: 0, 400, 300";
"READ-SHAPE", "a shape that does not fit the kind of mark",
"Cracks are lines: they have a length and may have one on the back. All other marks are areas. A crack recorded as a patch would be measured as an area and the other way round.",
"kind: gel_crack with Line(length_mm: 80); kind: crazing with Patch(length_mm: 200, width_mm: 120)";
"READ-SIDE-WORD", "a side word that does not tell",
"Two tapes meet in two places, one either side of the line between their landmarks. Landmarks above one another leave front and rear, landmarks behind one another leave upper and lower.",
"two landmarks along the lower edge: side: upper";
"READ-SIZE", "sizes for a panel that is not generic",
"Only a generic moulding is sized in the survey. The sizes of a panel with a file of its own stand in that file.",
"(name: \"lid\", generic: \"lid\", size: (length_mm: 940))";
"READ-SYNTAX", "the text cannot be read",
"The file is RON: records in ( ), lists in [ ], `field: value` with commas between, texts in double quotes, comments after //. The reader stopped here; the slip may be a little earlier.",
"(format: 1 marks: []) lacks a comma";
"READ-TAPE", "two tapes from one landmark",
"Two tapes from the same landmark leave the place open. Each has to start from a landmark of its own.",
"a: (\"front corner\", 410), b: (\"front corner\", 530)";
"READ-TOO-LARGE", "the file is too large",
"A text of this program is read up to 8 MiB, which is more than any survey needs, and a scan up to 1 GiB. The limit keeps a wrong file from filling the memory.",
"a picture given in place of a survey";
"READ-TRACE", "a trace that cannot be followed",
"A traced line needs two points, a closed outline three, and the first point has to stand by itself: a step needs a point to step from.",
"points: [On(100, 200), Step(mm: 30, angle_deg: 45)]";
"READ-TYPE", "a value of the wrong kind",
"A number stands where a text belongs, or the other way round, or a list where one value belongs.",
"length_mm: \"80 mm\" is refused; length_mm: 80 is accepted";
"READ-UNMEASURED", "a mark without a size",
"What is not measured cannot be estimated and is never guessed. How near a mark comes to a hinge, a latch or a belt depends on its size, so a rough figure on the large side is better than none. What nobody could look at at all belongs under `not_examined`.",
"shape: Spot(diameter_mm: 15)";
"READ-WORD-UNKNOWN", "a word that is not one of those to choose from",
"The field takes one of a fixed set of words. The nearest is offered.",
"kind: gelcrack where gel_crack is meant";
"SCAN-AXIS", "a scan whose grid is not stated",
"A scan has no grid of its own. Places (u, v), angles, steps and side words need one: state in the panel file where u and v are 0 and which way u runs there, or give places in space, by tapes with a third one, and directions towards a landmark. v runs to the left of u, seen from the outer side.",
"surface: Scan(file: \"hood.stl\", unit: mm, axis: (at: (0, 350, 12), along: (1, 0, 0)))";
"SCAN-CUT-SHORT", "a scan that is shorter than it claims",
"The number of corners or triangles that the file claims does not fit into its bytes. It was cut off while being copied or written, or it is no scan. Nothing is set aside for what a header claims before this is known.",
"a binary STL of 1000 bytes that claims 4 000 000 000 triangles";
"SCAN-DOUBLED", "triangles that lie back to back",
"Two triangles on the same three corners look opposite ways, so it cannot be told which side is the outer one. Triangles that stand twice the same way round are harmless; they count once and are listed.",
"a mesh exported with both sides of every triangle";
"SCAN-EDGE-SHARED", "an edge with three triangles or more",
"A skin has two triangles on an edge, or one at its rim. Where more meet, a rib, a bracket or a second layer hangs on the skin, and what belongs to it cannot be told.",
"a stiffener behind a panel, scanned with it";
"SCAN-FLIPPED", "triangles that run the wrong way round",
"Which side is the outer one is told by the order of a triangle's corners. Some look the other way than their neighbours. They are turned only when the panel file says so, and then listed. A band that turns over by going round has no outer side at all.",
"surface: Scan(file: \"hood.stl\", unit: mm, turn_flipped: true)";
"SCAN-FOLDED", "a scan that folds over itself",
"Triangles lie folded over their neighbours on more than a trace of the area, so the area would be counted twice there. A trace of folding, as every scanner leaves it, is kept and listed.",
"a seam of two scans that overlap by 20 mm";
"SCAN-FORMAT", "not a triangle mesh",
"Scans are read as STL (binary or text), PLY (text or binary) or OBJ with triangles or polygons. Clouds of points have no surface.",
"a PLY with an element vertex and no element face";
"SCAN-HOLE", "a hole that is neither an opening nor a gap",
"A small hole is taken for a gap of the scan, filled, counted as skin and listed. A larger one is refused until the panel file says what it is: taken for skin it would hide an opening, taken for an opening it would make the way round it too long, and with it the distance to a fixing.",
"openings: [(name: \"lamp\", at: Xyz(312, 220, -9))], or fill_holes_mm: 60";
"SCAN-NEEDLE", "a triangle without area that cannot be drawn together",
"Triangles without height hold their neighbours together; they are drawn together with them when the scan is thinned. Here that would fold the skin or move it too far.",
"three corners on one line within a flat patch";
"SCAN-PART", "it is open which part of the scan is the panel",
"The largest piece that hangs together is the panel, and smaller ones are listed with their areas. Where another piece is nearly as large, or a named group or object is not there, the panel has to be named or cut out.",
"part: \"hood\" where the OBJ has `o hood`";
"SCAN-SHAPE", "a scan that is no open sheet",
"A panel's outer side lies open like a sheet: one piece with one outer edge, and holes that can be filled. A closed shell, a tunnel or a handle is something else.",
"a scan of the outer side and the back together";
"SCAN-SIZE", "a scan of a size that no panel has",
"No scan format says its unit, so the panel file states it. In the stated unit this scan is smaller or larger than any panel.",
"unit: mm for a scan exported in metres";
"SCAN-THIN", "a scan that cannot be thinned within its bounds",
"Figures are worked out on at most 60 000 triangles, and a scan is thinned to as few as keep within a stated distance and change of area; both are measured on the result. A rough scan has more area than the skin it shows, and loses it when it is thinned.",
"thin_mm: 0.3, thin_area_percent: 0.5";
"SCAN-TOO-MANY", "a scan of too many triangles",
"A scan of up to 22 million triangles is read, which is what 1 GiB of binary STL holds.",
"a whole vehicle at a tenth of a millimetre";
"SCAN-VALUE", "a value of a scan that cannot be read",
"A coordinate is no plain number, a face names a corner that is not there, or a line is none of the format. The line, or the number of the triangle and its byte, is named.",
"vertex 1.0 nan 2.0";
"SEAM-EDGE", "a seam that does not run along the edge of its panel",
"A seam runs along the edge of both panels, from place to place the shorter way. A panel with a turned edge ends in that edge, which no neighbour is moulded on to.",
"along: [On(0, 0), On(0, 400)] on a panel whose edge runs along u 0";
"SEAM-LENGTH", "the two edges of a seam differ in length",
"Along a seam both panels have the same edge. Its length is taken over each skin; where the two differ by more than 5 mm and by more than 1 % [choice], a place, a size or the pair of edges is wrong.",
"an edge of 400 mm against one of 460 mm";
"SEAM-MATERIAL", "a seam between two materials",
"Panels moulded in one are of one material. Where the files name two, the panels are bonded and not moulded in one, or one of the files is wrong.",
"material: hand_laid_polyester against material: thermoplastic";
"SEAM-OVERLAP", "two seams on the same stretch of an edge",
"One stretch of an edge can be moulded in one with one neighbour only.",
"two seams that both start at On(0, 0) and end at On(0, 400)";
"SEAM-RING", "seams that close a ring",
"A panel is laid against its neighbours one after the other. Where seams lead round in a ring, or two panels meet along two seams, the last one cannot be laid as well.",
"front to side, side to rear, rear to front";
"SEAM-SHAPE", "a seam whose panels cannot be laid against each other",
"Both panels were found, and their edges are as long as each other, but run opposite ways, or are so different in shape that one skin would fold. The two ends of the seam are given in the same order on both panels, each seen from its outer side.",
"along: [On(0, 0), On(0, 400)] on one panel and [On(900, 400), On(900, 0)] on the other";
"STOCK-LACKS", "the stock has not what the job needs",
"A lay-up is chosen from the mats and resins of the stock, and none is made up that is not on the shelf. What is missing is named in the fault.",
"a stock without a mat that goes with epoxy, for an epoxy panel";
"SURFACE-CROSSED", "an outline that crosses itself",
"The points of a closed trace stand in order round the area. An outline that crosses itself has no inside.",
"four corners given across instead of round";
"SURFACE-GRID", "a mark that cannot take its shape from a grid",
"`shape: Grid(name)` takes the dull area of a tapped grid. It works where the grid shows one such area.",
"a grid with two dull places, five readings apart";
"SURFACE-LINE-OUT", "a traced crack that leaves its patch",
"The cracks in `lines` tell the pattern; what decides about a mark is its patch. A crack that goes on beyond the patch means that the patch was written too small.",
"a patch of 100 mm with a crack traced 160 mm from its middle";
"SURFACE-OFF-PANEL", "a place that is not on the panel",
"Marks, landmarks and fixings lie on the skin of their panel. `plymend panel` prints the extent of the grid; u runs along, v up or across, both in mm.",
"place: On(2000, 100) on a panel of 900 mm";
"SURFACE-PLACE", "a mark that cannot be laid on the skin",
"A mark needs a panel, a place and a size before it can be measured. `check` tells which of them is missing.",
"a trace that starts with a step";
"SURFACE-SKIN", "a skin that cannot be drawn",
"The sizes or sections that were given make no surface: they contradict each other, fold over or leave nothing.",
"a turned edge wider than the panel; an opening that takes the whole face";
"SURFACE-TAPES-MISS", "two tapes that cannot meet",
"Each tape leaves the mark on a ring round its landmark. These two rings do not touch on the skin, by more than a tape errs.",
"50 mm from each of two landmarks that are 900 mm apart";
"SURFACE-THIRD-TAPE", "a third tape that fits neither place",
"The third tape settles which of two places is meant and catches slips. Here it fits neither, so one of the three readings is wrong.",
"a third reading noted from the wrong corner";
"SURFACE-TOO-FINE", "a skin of too many triangles",
"The panel is described so finely that its skin would have more triangles than can be worked through at once.",
"cross-sections every millimetre";
"SURFACE-TWO-PLACES", "two tapes that leave two places open",
"Two tapes meet in two places, one either side of the line between the landmarks. A side word or a third tape says which.",
"Taped(a: (\"front corner\", 410), b: (\"rear corner\", 530)) without side";
"WRITE-EXISTS", "a file is already there",
"`plymend new` never overwrites a file: what was measured could be lost. It writes nothing at all when one of its files is there.",
"plymend new job, twice";
"WRITE-FAILED", "a file or answer cannot be written",
"The folder is missing, full or closed to this user. Files are written whole or not at all: nothing was left behind.",
"-o missing-folder/answer.txt";
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_stand_in_order_once() {
        assert!(CODES.windows(2).all(|pair| pair[0].code < pair[1].code));
        assert!(CODES.iter().all(|known| known.text.len() > 40 && !known.example.is_empty()));
        assert_eq!(explained("read-range").map(|known| known.code), Some("READ-RANGE"));
    }
}
