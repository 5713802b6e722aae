/* IPC-2581. Rules as the revision C schema and its text have them: units of CadHeader, curves by centre and
 * direction, layers by function and side, bottom parts turned and then mirrored. Lengths and areas are plain
 * geometry. */
#include <locale.h>
#include <math.h>

#include "board/copper-map.h"
#include "ipc2581-text.h"

#define PART(ref, package, layer, xform, x, y)                                                       \
  "<Component refDes=\"" ref "\" packageRef=\"" package "\" part=\"n\" layerRef=\"" layer "\" mountType=\"SMT\">" \
  xform "<Location x=\"" x "\" y=\"" y "\"/></Component>\n"
#define PACKAGE(name, attributes, inside) "<Package name=\"" name "\" " attributes ">" inside "</Package>\n"

static void
test_units (void)
{
  static const struct {
    const char *word, *x;
  } units[] = { { "MILLIMETER", "25.4" }, { "MICRON", "25400" }, { "INCH", "1" } };

  for (guint i = 0; i < G_N_ELEMENTS (units); i++)
    {
      const char *u = units[i].x;
      g_autofree char *text =
        g_strdup_printf (IPC_HEAD IPC_CONTENT ("s", "") "<Ecad><CadHeader units=\"%s\"/><CadData>" IPC_LAYERS
                         "<Step name=\"s\"><Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/><PolyStepSegment x=\"%s\" y=\"0\"/>"
                         "<PolyStepSegment x=\"%s\" y=\"%s\"/><PolyStepSegment x=\"0\" y=\"%s\"/></Polygon></Profile>"
                         "</Step></CadData></Ecad>" IPC_TAIL,
                         units[i].word, u, u, u, u);
      g_autoptr (LwImport) import = ipc_good (text);
      LwBox box = lw_loop_box (import->job->board->outline->pdata[0]);

      g_assert_cmpfloat_with_epsilon (box.x1_mm, 25.4, 1e-9);
      g_assert_cmpfloat_with_epsilon (box.y1_mm, 25.4, 1e-9);
      g_assert_cmpstr (import->format, ==, "IPC-2581 C");
    }
}

/* A stadium 30 x 20 with half-circle ends of radius 10, a round hole of radius 2 and a ring-shaped slot's
 * hole drawn clockwise. */
static void
test_curves (void)
{
  g_autoptr (LwImport) import = ipc_good (IPC_BOARD (
    "<Profile><Polygon><PolyBegin x=\"10\" y=\"0\"/><PolyStepSegment x=\"40\" y=\"0\"/>"
    "<PolyStepCurve x=\"40\" y=\"20\" centerX=\"40\" centerY=\"10\" clockwise=\"false\"/>"
    "<PolyStepSegment x=\"10\" y=\"20\"/>"
    "<PolyStepCurve x=\"10\" y=\"0\" centerX=\"10\" centerY=\"10\" clockwise=\"false\"/></Polygon>"
    "<Cutout><PolyBegin x=\"12\" y=\"10\"/><PolyStepCurve x=\"12\" y=\"10\" centerX=\"10\" centerY=\"10\" clockwise=\"true\"/></Cutout>"
    "<Cutout><PolyBegin x=\"30\" y=\"12\"/><PolyStepCurve x=\"30\" y=\"8\" centerX=\"30\" centerY=\"10\" clockwise=\"1\"/></Cutout>"
    "</Profile>"));
  const GPtrArray *outline = import->job->board->outline;
  LwBox box = lw_loop_box (outline->pdata[0]);

  g_assert_cmpuint (outline->len, ==, 3);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, 0, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.x1_mm, 50, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (outline->pdata[0]), 30 * 20 + G_PI * 100, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (outline->pdata[1]), -G_PI * 4, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_loop_area (outline->pdata[2]), -G_PI * 2, 1e-9);
  g_assert_false (import->job->board->outline_assumed);
}

static void
test_stack (void)
{
  g_autoptr (LwImport) import = ipc_good (
    IPC_HEAD IPC_CONTENT ("s", "")
    "<Ecad><CadHeader units=\"MILLIMETER\"><Spec name=\"c\"><Conductor type=\"WEIGHT\"><Property value=\"2\" unit=\"OZ\"/>"
    "</Conductor></Spec><Spec name=\"m\"><General type=\"MATERIAL\"><Property text=\"FR-4\"/></General></Spec></CadHeader><CadData>"
    IPC_LAYERS "<Layer name=\"S\" layerFunction=\"SILKSCREEN\" side=\"TOP\"/>"
    "<Layer name=\"M\" layerFunction=\"SOLDERMASK\" side=\"TOP\"/>"
    "<Stackup name=\"x\" overallThickness=\"1.2\"><StackupGroup>"
    "<StackupLayer layerOrGroupRef=\"B\" thickness=\"0.018\" sequence=\"9\"/>"
    "<StackupLayer layerOrGroupRef=\"S\" thickness=\"0.02\" sequence=\"0\"/>"
    "<StackupLayer layerOrGroupRef=\"T\" thickness=\"0\" sequence=\"2\"><SpecRef id=\"c\"/></StackupLayer>"
    "<StackupLayer layerOrGroupRef=\"M\" thickness=\"0.02\" sequence=\"1\"/>"
    "<StackupLayer layerOrGroupRef=\"D\" thickness=\"1.1\" sequence=\"3\"><SpecRef id=\"m\"/></StackupLayer>"
    "</StackupGroup></Stackup>" IPC_STEP ("s", IPC_EDGE) "</CadData></Ecad>" IPC_TAIL);
  static const char *const names[] = { "M", "T", "D", "B" };
  static const LwLayerKind kinds[] = { LW_LAYER_MASK, LW_LAYER_COPPER, LW_LAYER_LAMINATE, LW_LAYER_COPPER };
  const GPtrArray *layers = import->job->board->layers;

  g_assert_cmpuint (layers->len, ==, 4);
  for (guint i = 0; i < 4; i++)
    {
      g_assert_cmpstr (((LwLayer *) layers->pdata[i])->name, ==, names[i]);
      g_assert_cmpint (((LwLayer *) layers->pdata[i])->kind, ==, kinds[i]);
    }
  g_assert_true (isnan (((LwLayer *) layers->pdata[1])->thickness_mm));
  g_assert_cmpfloat (((LwLayer *) layers->pdata[1])->copper_weight_oz, ==, 2);
  g_assert_cmpstr (((LwLayer *) layers->pdata[2])->material, ==, "FR-4");
  g_assert_cmpfloat (import->job->board->thickness_mm, ==, 1.2);
  g_assert_true (import->job->board->thickness_known);
}

/* ---- parts ---- */

static void
test_parts (void)
{
  g_autoptr (LwImport) import = ipc_good (
    IPC_HEAD IPC_CONTENT ("s", "")
    "<Bom><BomItem OEMDesignNumberRef=\"n\"><RefDes name=\"U1\"/><RefDes name=\"U3\" populate=\"false\"/><RefDes name=\"TP1\" populate=\"false\"/>"
    "<Characteristics><Textual textualCharacteristicName=\"Value\" textualCharacteristicValue=\"10 k\xce\xa9\"/></Characteristics></BomItem></Bom>"
    IPC_ECAD ("MILLIMETER", IPC_STEP ("s", IPC_EDGE
      PACKAGE ("P", "type=\"SOIC\" height=\"1.75\"", IPC_BOX ("2", "1"))
      PART ("U1", "P", "T", "<Xform rotation=\"450\"/>", "10", "10")
      PART ("U2", "P", "B", "<Xform rotation=\"30\" mirror=\"true\"/>", "20", "10")
      PART ("U2", "P", "T", "", "30", "10")
      PART ("U3", "P", "T", "", "40", "10")
      PART ("U4", "P", "I", "", "10", "20")
      PART ("U5", "Q", "T", "", "20", "20")
      PART ("TP1", "TestPoint_1mm", "T", "", "30", "20")
      "<Component refDes=\"U6\" packageRef=\"P\" layerRef=\"T\"/>"
      "<Component refDes=\"U7\" packageRef=\"P\" layerRef=\"T\" height=\"3\" standoff=\"0.5\"><Location x=\"40\" y=\"20\"/></Component>"
      "<Component packageRef=\"P\" layerRef=\"T\"><Location x=\"10\" y=\"30\"/></Component>")) IPC_TAIL);
  const LwPart *u1 = ipc_part (import, "U1"), *u2 = ipc_part (import, "U2"), *u7 = ipc_part (import, "U7");
  const LwPackage *package = lw_job_package_of (import->job, u1);

  g_assert_cmpuint (import->job->parts->len, ==, 10);
  g_assert_cmpstr (u1->value, ==, "10 k\xce\xa9");
  g_assert_cmpfloat (u1->rotation_deg, ==, 90);
  g_assert_cmpint (u2->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (u2->rotation_deg, ==, 30);
  g_assert_cmpint (package->kind, ==, LW_KIND_LEADED);
  g_assert_cmpfloat (package->height_mm, ==, 1.75);
  g_assert_cmpfloat (package->length_mm, ==, 4);
  g_assert_cmpfloat (u7->height_mm, ==, 3);
  g_assert_cmpfloat (u7->offset_mm, ==, 0.5);
  g_assert_true (ipc_warns (import, "a second U2"));
  g_assert_false (ipc_part (import, "U3")->placed);
  g_assert_true (ipc_part (import, "TP1")->placed);
  g_assert_false (ipc_part (import, "U4")->placed);
  g_assert_true (ipc_warns (import, "U4 is embedded"));
  g_assert_false (ipc_part (import, "U6")->placed);
  g_assert_true (ipc_warns (import, "U6 has no place"));
  g_assert_true (ipc_warns (import, "Q (U5) is not in the library"));
  g_assert_true (ipc_warns (import, "without a reference designator"));
  g_assert_true (ipc_warns (import, "no land tells how they are turned"));
}

#define PIN(n, x, y) "<Pin number=\"" n "\"><Location x=\"" x "\" y=\"" y "\"/><RectCenter width=\"0.5\" height=\"1\"/></Pin>"
#define LAND "<Pad><Location x=\"%.9f\" y=\"%.9f\"/><PinRef componentRef=\"U1\" pin=\"%u\"/></Pad>"

/* U1 on the bottom at 20, 20, turned 30 by the file; its lands laid by each rule in turn. Whatever the rule,
 * the part's joints have to come out on the lands. */
static void
test_bottom_turn (void)
{
  static const double pins[3][2] = { { 1, 2 }, { -1, 2 }, { 0, -2 } };
  double c = cos (G_PI / 6), s = sin (G_PI / 6);

  for (int rule = 0; rule < 4; rule++)
    {
      g_autoptr (GString) text = g_string_new (
        IPC_HEAD IPC_CONTENT ("s", "") "<Ecad><CadHeader units=\"MILLIMETER\"/><CadData>" IPC_LAYERS "<Step name=\"s\">" IPC_EDGE
        PACKAGE ("P", "", IPC_BOX ("2", "3") PIN ("1", "1", "2") PIN ("2", "-1", "2") PIN ("3", "0", "-2"))
        PART ("U1", "P", "B", "<Xform rotation=\"30\" mirror=\"true\"/>", "20", "20") "<LayerFeature layerRef=\"B\"><Set>");
      g_autoptr (LwImport) import = NULL;
      g_autoptr (GArray) joints = NULL;
      double lands[3][2];

      for (guint i = 0; i < 3; i++)
        {
          double u = rule % 2 == 0 ? -pins[i][0] : pins[i][0], v = rule % 2 == 0 ? pins[i][1] : -pins[i][1];
          double sine = rule < 2 ? -s : s;

          lands[i][0] = 20 + c * u - sine * v;
          lands[i][1] = 20 + sine * u + c * v;
          setlocale (LC_NUMERIC, "C"); /* the file has points */
          g_string_append_printf (text, LAND, lands[i][0], lands[i][1], i + 1);
          setlocale (LC_NUMERIC, "");
        }
      g_string_append (text, "</Set></LayerFeature></Step></CadData></Ecad>" IPC_TAIL);
      import = ipc_good (text->str);
      joints = lw_part_joints (ipc_part (import, "U1"), lw_job_package_of (import->job, ipc_part (import, "U1")));
      g_assert_cmpuint (joints->len, ==, 3);
      for (guint i = 0; i < 3; i++)
        {
          g_assert_cmpfloat_with_epsilon (g_array_index (joints, LwPoint, i).x_mm, lands[i][0], 1e-6);
          g_assert_cmpfloat_with_epsilon (g_array_index (joints, LwPoint, i).y_mm, lands[i][1], 1e-6);
        }
      g_assert_true (ipc_warns (import, "not turned by the standard’s rule: 3 of 3") == (rule != 0));
    }
}

/* ---- joints ---- */

static const LwJoints *
joints_of (LwImport *import)
{
  return &((LwPackage *) import->job->packages->pdata[0])->joints;
}

static LwImport *
read_pins (const char *type, double half_x, double half_y, guint n, double (*at)[2])
{
  g_autoptr (GString) text = g_string_new (
    IPC_HEAD IPC_CONTENT ("s", "<DictionaryStandard units=\"INCH\"><EntryStandard id=\"b\"><Circle diameter=\"0.02\"/></EntryStandard></DictionaryStandard>")
    "<Ecad><CadHeader units=\"MILLIMETER\"/><CadData>" IPC_LAYERS "<Step name=\"s\">" IPC_EDGE);

  setlocale (LC_NUMERIC, "C"); /* the file has points */
  g_string_append_printf (text, "<Package name=\"X\" type=\"%s\"><Outline><Polygon><PolyBegin x=\"%f\" y=\"%f\"/>", type, -half_x, -half_y);
  g_string_append_printf (text, "<PolyStepSegment x=\"%f\" y=\"%f\"/><PolyStepSegment x=\"%f\" y=\"%f\"/>", half_x, -half_y, half_x, half_y);
  g_string_append_printf (text, "<PolyStepSegment x=\"%f\" y=\"%f\"/></Polygon></Outline>", -half_x, half_y);
  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "<Pin number=\"%u\"><Location x=\"%.6f\" y=\"%.6f\"/><StandardPrimitiveRef id=\"b\"/></Pin>", i, at[i][0], at[i][1]);
  setlocale (LC_NUMERIC, "");
  g_string_append (text, "</Package>" PART ("U1", "X", "T", "", "20", "20") "</Step></CadData></Ecad>" IPC_TAIL);
  return ipc_good (text->str);
}

/* 6 x 5 balls at 0.8 with the middle 2 x 1 missing. */
static void
test_grid (void)
{
  double at[30][2];
  guint n = 0;

  for (int r = 0; r < 5; r++)
    for (int c = 0; c < 6; c++)
      {
        if (r == 2 && (c == 2 || c == 3))
          continue;
        at[n][0] = (c - 2.5) * 0.8;
        at[n++][1] = (r - 2) * 0.8;
      }
  g_autoptr (LwImport) import = read_pins ("PLASTIC_BGA", 3, 2.5, n, at);
  const LwJoints *joints = joints_of (import);
  g_assert_cmpint (joints->pattern, ==, LW_JOINTS_GRID);
  g_assert_cmpuint (joints->columns, ==, 6);
  g_assert_cmpuint (joints->rows, ==, 5);
  g_assert_cmpuint (joints->hole_columns, ==, 2);
  g_assert_cmpuint (joints->hole_rows, ==, 1);
  g_assert_cmpfloat_with_epsilon (joints->pitch_mm, 0.8, 1e-9);
  g_assert_cmpfloat_with_epsilon (joints->length_mm, 0.508, 1e-9);
  g_assert_cmpint (((LwPackage *) import->job->packages->pdata[0])->kind, ==, LW_KIND_AREA_ARRAY);
}

static void
test_rows (void)
{
  double eight[8][2], two[2][2] = { { -1, 0 }, { 1, 0 } }, odd[3][2] = { { -1, 1 }, { 1, 1 }, { 0.3, -1 } };
  double ring[16][2];

  for (int i = 0; i < 8; i++)
    {
      eight[i][0] = i < 4 ? -2.7 : 2.7;
      eight[i][1] = (i % 4 - 1.5) * 1.27;
    }
  for (int i = 0; i < 16; i++)
    {
      double along = (i % 4 - 1.5) * 0.5, across = i % 8 < 4 ? -1.4 : 1.4;

      ring[i][0] = i < 8 ? across : along;
      ring[i][1] = i < 8 ? along : across;
    }
  g_autoptr (LwImport) sides = read_pins ("SOIC", 2, 2.5, 8, eight), ends = read_pins ("CHIP", 1.2, 0.6, 2, two);
  g_autoptr (LwImport) listed = read_pins ("OTHER", 1.5, 1.5, 3, odd), four = read_pins ("OTHER", 1.5, 1.5, 16, ring);
  g_assert_cmpint (joints_of (sides)->pattern, ==, LW_JOINTS_TWO_SIDES);
  g_assert_cmpuint (joints_of (sides)->rows, ==, 4);
  g_assert_cmpfloat_with_epsilon (joints_of (sides)->span_x_mm, 5.4, 1e-9);
  g_assert_cmpint (joints_of (ends)->pattern, ==, LW_JOINTS_TWO_ENDS);
  g_assert_cmpfloat_with_epsilon (joints_of (ends)->span_x_mm, 2, 1e-9);
  g_assert_cmpint (joints_of (listed)->pattern, ==, LW_JOINTS_LISTED);
  g_assert_cmpuint (joints_of (listed)->positions->len, ==, 3);
  g_assert_cmpint (joints_of (four)->pattern, ==, LW_JOINTS_FOUR_SIDES);
  g_assert_cmpuint (joints_of (four)->columns, ==, 4);
  g_assert_cmpfloat_with_epsilon (joints_of (four)->pitch_mm, 0.5, 1e-9);
}

/* ---- steps ---- */

static void
test_panel (void)
{
  g_autoptr (LwImport) import = ipc_good (
    IPC_HEAD IPC_CONTENT ("panel", "")
    IPC_ECAD ("MILLIMETER",
              IPC_STEP ("panel", "<StepRepeat stepRef=\"one\" x=\"0\" y=\"0\" nx=\"2\" ny=\"3\" dx=\"60\" dy=\"50\" angle=\"0\" mirror=\"false\"/>"
                        "<Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/><PolyStepSegment x=\"120\" y=\"0\"/><PolyStepSegment x=\"120\" y=\"150\"/></Polygon></Profile>")
              IPC_STEP ("one", IPC_EDGE PACKAGE ("P", "", IPC_BOX ("2", "1")) PART ("U1", "P", "T", "", "10", "10"))) IPC_TAIL);
  LwBox box = lw_loop_box (import->job->board->outline->pdata[0]);

  g_assert_cmpfloat (box.x1_mm, ==, 50);
  g_assert_cmpuint (import->job->parts->len, ==, 1);
  g_assert_true (ipc_warns (import, "is a panel of 6 pieces: the single board “one” is taken"));
}

/* A panel that repeats itself must not go round for ever. */
static void
test_panel_of_itself (void)
{
  g_autoptr (LwImport) import = ipc_good (IPC_BOARD (IPC_EDGE "<StepRepeat stepRef=\"s\" nx=\"1\" ny=\"1\"/>"));

  g_assert_cmpuint (import->job->parts->len, ==, 0);
}

static void
test_prefix_and_utf16 (void)
{
  const char *text = "<i:IPC-2581 xmlns:i=\"http://webstds.ipc.org/2581\" revision=\"B\"><i:Ecad><i:CadHeader units=\"MILLIMETER\"/>"
                     "<i:CadData><i:Step name=\"s\"><i:Profile><i:Polygon><i:PolyBegin x=\"0\" y=\"0\"/><i:PolyStepSegment x=\"20\" y=\"0\"/>"
                     "<i:PolyStepSegment x=\"20\" y=\"30\"/></i:Polygon></i:Profile></i:Step></i:CadData></i:Ecad></i:IPC-2581>";
  gsize length;
  g_autofree char *wide = g_convert (text, -1, "UTF-16", "UTF-8", NULL, &length, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) plain = ipc_good (text), utf16 = lw_import_ipc2581 ("b.xml", wide, length, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (plain->format, ==, "IPC-2581 B");
  g_assert_cmpstr (utf16->format, ==, "IPC-2581 B");
}

/* ---- copper ---- */

/* On 50 x 40 mm: a pour of 20 x 10 with a round hole of radius 2, a trace 10 long and 1 wide with round ends, four lands of
 * the dictionary (2 x 1, one turned), an area 5 x 5 taken away from a pour of 10 x 10, and the same pour drawn twice. */
static void
test_copper (void)
{
  g_autoptr (LwImport) import = ipc_good (
    IPC_HEAD IPC_CONTENT ("s",
      "<DictionaryLineDesc units=\"MICRON\"><EntryLineDesc id=\"w\"><LineDesc lineWidth=\"1000\"/></EntryLineDesc></DictionaryLineDesc>"
      "<DictionaryStandard units=\"MILLIMETER\"><EntryStandard id=\"r\"><RectCenter width=\"2\" height=\"1\"/></EntryStandard></DictionaryStandard>")
    "<Ecad><CadHeader units=\"MILLIMETER\"/><CadData>" IPC_LAYERS
    "<Stackup><StackupGroup><StackupLayer layerOrGroupRef=\"T\" thickness=\"0.035\" sequence=\"1\"/>"
    "<StackupLayer layerOrGroupRef=\"D\" thickness=\"1.5\" sequence=\"2\"/><StackupLayer layerOrGroupRef=\"B\" thickness=\"0.035\" sequence=\"3\"/>"
    "</StackupGroup></Stackup><Step name=\"s\">" IPC_EDGE
    "<LayerFeature layerRef=\"T\"><Set><Features><Contour><Polygon><PolyBegin x=\"1\" y=\"1\"/><PolyStepSegment x=\"21\" y=\"1\"/>"
    "<PolyStepSegment x=\"21\" y=\"11\"/><PolyStepSegment x=\"1\" y=\"11\"/></Polygon>"
    "<Cutout><PolyBegin x=\"7\" y=\"5\"/><PolyStepCurve x=\"7\" y=\"5\" centerX=\"5\" centerY=\"5\" clockwise=\"true\"/></Cutout></Contour></Features></Set>"
    "<Set><Features><UserSpecial><Line startX=\"30\" startY=\"5\" endX=\"40\" endY=\"5\"><LineDescRef id=\"w\"/></Line></UserSpecial></Features></Set>"
    "<Set><Pad><Location x=\"30\" y=\"10\"/><StandardPrimitiveRef id=\"r\"/></Pad><Pad><Xform rotation=\"90\"/><Location x=\"34\" y=\"10\"/><StandardPrimitiveRef id=\"r\"/></Pad>"
    "<Pad><Location x=\"38\" y=\"10\"/><RectCenter width=\"2\" height=\"1\"/></Pad><Pad><Location x=\"42\" y=\"10\"/><StandardPrimitiveRef id=\"r\"/></Pad></Set>"
    "<Set><Features><Location x=\"10\" y=\"25\"/><RectCenter width=\"10\" height=\"10\"/></Features></Set>"
    "<Set polarity=\"NEGATIVE\"><Features><Location x=\"10\" y=\"25\"/><RectCenter width=\"5\" height=\"5\"/></Features></Set>"
    "<Set><Features><Location x=\"30\" y=\"25\"/><RectCenter width=\"10\" height=\"10\"/></Features><Features><Location x=\"30\" y=\"25\"/><RectCenter width=\"10\" height=\"10\"/></Features></Set>"
    "</LayerFeature></Step></CadData></Ecad>" IPC_TAIL);
  double wanted = 200 - G_PI * 4 + 10 + G_PI / 4 + 4 * 2 + 100 - 25 + 100;
  const LwBoard *board = import->job->board;
  const LwLayer *top = board->layers->pdata[0];

  /* The 0.005 mm the round hole's chords stay inside it are at most 4 pi x 0.005 mm2. */
  g_assert_cmpfloat_with_epsilon (top->cover * 2000, wanted, 0.1);
  g_assert_nonnull (board->copper_map);
  g_assert_cmpint (lw_copper_map_find (board->copper_map, "T"), ==, 0);
  g_assert_cmpint (lw_copper_map_find (board->copper_map, "B"), ==, -1);
  g_assert_true (ipc_warns (import, "copper of layer “B” is not drawn here; 30 % cover is assumed"));
  g_autofree guint8 *cells = lw_copper_map_cells (board->copper_map, 0);
  const LwCopperMap *map = board->copper_map;
  guint inside = (guint) ((3 - map->y_mm) / map->cell_mm) * map->columns + (guint) ((15 - map->x_mm) / map->cell_mm);
  guint hole = (guint) ((5 - map->y_mm) / map->cell_mm) * map->columns + (guint) ((5 - map->x_mm) / map->cell_mm);
  g_assert_cmpuint (cells[inside], ==, 255);
  g_assert_cmpuint (cells[hole], ==, 0);
}

/* A pour over the whole of two layers, 50 x 40 mm: a hole of 4 mm through both, one of 2 mm through the top alone. What is
 * left is 2000 mm2 less pi/4 d2 of each. */
static void
test_holes (void)
{
  const char *pour = "<Set><Features><Location x=\"25\" y=\"20\"/><RectCenter width=\"50\" height=\"40\"/></Features></Set>";
  g_autofree char *text = g_strconcat (
    IPC_HEAD IPC_CONTENT ("s", "") "<Ecad><CadHeader units=\"MILLIMETER\"/><CadData>" IPC_LAYERS
    "<Layer name=\"through\" layerFunction=\"DRILL\"><Span fromLayer=\"T\" toLayer=\"B\"/></Layer>"
    "<Layer name=\"blind\" layerFunction=\"DRILL\"><Span fromLayer=\"T\" toLayer=\"T\"/></Layer>"
    "<Stackup><StackupGroup><StackupLayer layerOrGroupRef=\"T\" thickness=\"0.035\" sequence=\"1\"/>"
    "<StackupLayer layerOrGroupRef=\"D\" thickness=\"1.5\" sequence=\"2\"/><StackupLayer layerOrGroupRef=\"B\" thickness=\"0.035\" sequence=\"3\"/>"
    "</StackupGroup></Stackup><Step name=\"s\">" IPC_EDGE "<LayerFeature layerRef=\"T\">", pour, "</LayerFeature><LayerFeature layerRef=\"B\">",
    pour, "</LayerFeature><LayerFeature layerRef=\"through\"><Set><Hole name=\"a\" diameter=\"4\" platingStatus=\"PLATED\" x=\"10\" y=\"10\"/></Set>"
    "</LayerFeature><LayerFeature layerRef=\"blind\"><Set><Hole name=\"b\" diameter=\"2\" platingStatus=\"VIA\" x=\"30\" y=\"10\"/></Set>"
    "</LayerFeature></Step></CadData></Ecad>" IPC_TAIL, NULL);
  g_autoptr (LwImport) import = ipc_good (text);
  const GPtrArray *layers = import->job->board->layers;

  g_assert_cmpfloat_with_epsilon (((LwLayer *) layers->pdata[0])->cover * 2000, 2000 - G_PI * 4 - G_PI, 0.02);
  g_assert_cmpfloat_with_epsilon (((LwLayer *) layers->pdata[2])->cover * 2000, 2000 - G_PI * 4, 0.02);
}

/* The same board plotted by the same program: two formats, two readers, one copper, less the same holes. */
static void
test_copper_against_plots (void)
{
  g_autofree char *xml = g_build_filename (DATA_DIR, "ecc83_v2", "ecc83v2-revB-in.xml", NULL);
  g_autofree char *plots = g_build_filename (DATA_DIR, "ecc83_v2", "gerber", NULL);
  g_autofree char *drills = g_build_filename (DATA_DIR, "ecc83_v2", "drill", NULL);
  g_autoptr (GFile) a_file = g_file_new_for_path (xml), plot_folder = g_file_new_for_path (plots),
                    drill_folder = g_file_new_for_path (drills);
  GFile *set[] = { plot_folder, drill_folder };
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) a = lw_import (a_file, NULL, NULL, &error),
                       b = lw_import_many (set, 2, NULL, NULL, NULL, &error);
  guint n = 0;

  g_assert_no_error (error);
  for (guint i = 0; i < a->job->board->layers->len; i++)
    for (guint k = 0; k < b->job->board->layers->len; k++)
      {
        const LwLayer *x = a->job->board->layers->pdata[i], *y = b->job->board->layers->pdata[k];

        if (x->kind != LW_LAYER_COPPER || strcmp (x->name, y->name) != 0)
          continue;
        g_assert_cmpfloat_with_epsilon (x->cover, y->cover, 0.002);
        n++;
      }
  g_assert_cmpuint (n, ==, 2);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ipc2581/units", test_units);
  g_test_add_func ("/ipc2581/curves", test_curves);
  g_test_add_func ("/ipc2581/stack", test_stack);
  g_test_add_func ("/ipc2581/parts", test_parts);
  g_test_add_func ("/ipc2581/bottom-turn", test_bottom_turn);
  g_test_add_func ("/ipc2581/grid", test_grid);
  g_test_add_func ("/ipc2581/rows", test_rows);
  g_test_add_func ("/ipc2581/panel", test_panel);
  g_test_add_func ("/ipc2581/panel-of-itself", test_panel_of_itself);
  g_test_add_func ("/ipc2581/prefix-and-utf16", test_prefix_and_utf16);
  g_test_add_func ("/ipc2581/copper", test_copper);
  g_test_add_func ("/ipc2581/holes", test_holes);
  g_test_add_func ("/ipc2581/copper-against-plots", test_copper_against_plots);
  return g_test_run ();
}
