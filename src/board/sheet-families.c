/* The families of outlines: which figures their drawings carry, under which letters. Letters of JEDEC Publication
 * 95 (MS-034, MO-158, MS-026, MS-012, MO-153, MO-178, MS-018, MS-027, MO-220, MO-229, MS-002, MS-001) and of IEC
 * 60115-8 and 60384-1, from memory. Examples: the standard's own variations, from memory. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/sheet.h"

#define END { 0, NULL, NULL, FALSE, NAN }
#define USUAL NAN /* left to the usual value in an example */

static const LwDatasheetInfo infos[LW_SHEET_N_FAMILIES] = {
  [LW_SHEET_BALLS] = {
    N_("Ball grid array"), "BGA FBGA LFBGA TFBGA UFBGA PBGA FCBGA CSP WLCSP", "JEDEC MS-034",
    { LW_KIND_AREA_ARRAY, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "D", N_("Body length"), TRUE, 17 },
      { LW_FIGURE_BODY_Y, "E", N_("Body width"), TRUE, 17 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 1.6 },
      { LW_FIGURE_STANDOFF, "A1", N_("Stand-off"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 1.0 },
      { LW_FIGURE_JOINT, "b", N_("Ball diameter"), FALSE, USUAL },
      { LW_FIGURE_COLUMNS, "MD", N_("Columns"), TRUE, 16 },
      { LW_FIGURE_ROWS, "ME", N_("Rows"), TRUE, 16 },
      { LW_FIGURE_COUNT, "n", N_("Balls in all"), FALSE, USUAL },
      END } },
  [LW_SHEET_COLUMNS] = {
    N_("Ceramic column grid array"), "CGA CCGA", "JEDEC MO-158",
    { LW_KIND_AREA_ARRAY, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "D", N_("Body length"), TRUE, 32.5 },
      { LW_FIGURE_BODY_Y, "E", N_("Body width"), TRUE, 32.5 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 5.4 },
      { LW_FIGURE_STANDOFF, "A1", N_("Column height"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 1.27 },
      { LW_FIGURE_JOINT, "b", N_("Column diameter"), FALSE, USUAL },
      { LW_FIGURE_COLUMNS, "MD", N_("Columns"), TRUE, 25 },
      { LW_FIGURE_ROWS, "ME", N_("Rows"), TRUE, 25 },
      { LW_FIGURE_COUNT, "n", N_("Columns of solder in all"), FALSE, USUAL },
      END } },
  [LW_SHEET_LANDS] = {
    N_("Land grid array"), "LGA", "JEDEC MO-222",
    { LW_KIND_AREA_ARRAY, LW_KIND_MODULE, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "D", N_("Body length"), TRUE, 10 },
      { LW_FIGURE_BODY_Y, "E", N_("Body width"), TRUE, 10 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 1.0 },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 0.8 },
      { LW_FIGURE_JOINT, "b", N_("Land diameter"), FALSE, USUAL },
      { LW_FIGURE_COLUMNS, "MD", N_("Columns"), TRUE, 12 },
      { LW_FIGURE_ROWS, "ME", N_("Rows"), TRUE, 12 },
      { LW_FIGURE_COUNT, "n", N_("Lands in all"), FALSE, USUAL },
      END } },
  [LW_SHEET_QUAD_GULL] = {
    N_("Quad flat package, gull wings"), "QFP LQFP TQFP PQFP MQFP CQFP", "JEDEC MS-026",
    { LW_KIND_LEADED, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "D", N_("Length over leads"), TRUE, 16 },
      { LW_FIGURE_SPAN_Y, "E", N_("Width over leads"), TRUE, 16 },
      { LW_FIGURE_BODY_X, "D1", N_("Body length"), FALSE, 14 },
      { LW_FIGURE_BODY_Y, "E1", N_("Body width"), FALSE, 14 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 1.6 },
      { LW_FIGURE_STANDOFF, "A1", N_("Stand-off"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 0.5 },
      { LW_FIGURE_COUNT, "N", N_("Leads"), TRUE, 100 },
      { LW_FIGURE_JOINT, "L", N_("Foot length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Lead width"), FALSE, USUAL },
      { LW_FIGURE_PAD_X, "D2", N_("Exposed pad"), FALSE, USUAL },
      END } },
  [LW_SHEET_DUAL_GULL] = {
    N_("Small outline, gull wings"), "SO SOIC SOP SSOP TSSOP MSOP VSSOP CFP", "JEDEC MS-012, MO-153",
    { LW_KIND_LEADED, LW_KIND_OPTOCOUPLER, LW_KIND_TRANSFORMER, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "E", N_("Width over leads"), TRUE, 6.0 },
      { LW_FIGURE_BODY_X, "E1", N_("Body width"), FALSE, 3.9 },
      { LW_FIGURE_BODY_Y, "D", N_("Body length"), FALSE, 4.9 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 1.75 },
      { LW_FIGURE_STANDOFF, "A1", N_("Stand-off"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 1.27 },
      { LW_FIGURE_COUNT, "N", N_("Leads"), TRUE, 8 },
      { LW_FIGURE_JOINT, "L", N_("Foot length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Lead width"), FALSE, USUAL },
      { LW_FIGURE_PAD_X, "E2", N_("Exposed pad, width"), FALSE, USUAL },
      { LW_FIGURE_PAD_Y, "D2", N_("Exposed pad, length"), FALSE, USUAL },
      END } },
  [LW_SHEET_SMALL] = {
    N_("Small outline transistor"), "SOT SC70 SOT23 SOT223 SOT89", "JEDEC TO-236, MO-178",
    { LW_KIND_LEADED, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "E", N_("Width over leads"), TRUE, 2.8 },
      { LW_FIGURE_BODY_X, "E1", N_("Body width"), FALSE, 1.6 },
      { LW_FIGURE_BODY_Y, "D", N_("Body length"), FALSE, 2.9 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 1.45 },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 0.95 },
      { LW_FIGURE_COUNT, "N", N_("Leads"), TRUE, 5 },
      { LW_FIGURE_JOINT, "L", N_("Foot length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Lead width"), FALSE, USUAL },
      END } },
  [LW_SHEET_QUAD_J] = {
    N_("Chip carrier, J leads"), "PLCC", "JEDEC MS-018",
    { LW_KIND_LEADED, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "D", N_("Length over leads"), TRUE, 17.53 },
      { LW_FIGURE_SPAN_Y, "E", N_("Width over leads"), TRUE, 17.53 },
      { LW_FIGURE_BODY_X, "D1", N_("Body length"), FALSE, 16.58 },
      { LW_FIGURE_BODY_Y, "E1", N_("Body width"), FALSE, 16.58 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 4.57 },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 1.27 },
      { LW_FIGURE_COUNT, "N", N_("Leads"), TRUE, 44 },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Lead width"), FALSE, USUAL },
      END } },
  [LW_SHEET_DUAL_J] = {
    N_("Small outline, J leads"), "SOJ", "JEDEC MS-027",
    { LW_KIND_LEADED, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "E", N_("Width over leads"), TRUE, 8.51 },
      { LW_FIGURE_BODY_X, "E1", N_("Body width"), FALSE, 7.57 },
      { LW_FIGURE_BODY_Y, "D", N_("Body length"), FALSE, 17.15 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 3.51 },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 1.27 },
      { LW_FIGURE_COUNT, "N", N_("Leads"), TRUE, 26 },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Lead width"), FALSE, USUAL },
      END } },
  [LW_SHEET_QUAD_FLAT] = {
    N_("Quad flat, no leads"), "QFN VQFN WQFN TQFN HVQFN MLF LFCSP", "JEDEC MO-220",
    { LW_KIND_LEADLESS, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "D", N_("Body length"), TRUE, 7 },
      { LW_FIGURE_BODY_Y, "E", N_("Body width"), TRUE, 7 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 0.9 },
      { LW_FIGURE_STANDOFF, "A1", N_("Stand-off"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 0.5 },
      { LW_FIGURE_COUNT, "N", N_("Terminals"), TRUE, 48 },
      { LW_FIGURE_JOINT, "L", N_("Terminal length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Terminal width"), FALSE, USUAL },
      { LW_FIGURE_PAD_X, "D2", N_("Exposed pad, length"), FALSE, 5.2 },
      { LW_FIGURE_PAD_Y, "E2", N_("Exposed pad, width"), FALSE, 5.2 },
      END } },
  [LW_SHEET_DUAL_FLAT] = {
    N_("Dual flat, no leads"), "DFN SON WSON VSON UDFN", "JEDEC MO-229",
    { LW_KIND_LEADLESS, LW_KIND_RESISTOR, LW_KIND_CERAMIC_CAPACITOR, LW_KIND_CRYSTAL, LW_KIND_LED,
      LW_KIND_INDUCTOR, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "E", N_("Body across the rows"), TRUE, 3 },
      { LW_FIGURE_BODY_Y, "D", N_("Body along the rows"), TRUE, 3 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 0.9 },
      { LW_FIGURE_STANDOFF, "A1", N_("Stand-off"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 0.65 },
      { LW_FIGURE_COUNT, "N", N_("Terminals"), TRUE, 8 },
      { LW_FIGURE_JOINT, "L", N_("Terminal length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Terminal width"), FALSE, USUAL },
      { LW_FIGURE_PAD_X, "E2", N_("Exposed pad, across"), FALSE, 1.5 },
      { LW_FIGURE_PAD_Y, "D2", N_("Exposed pad, along"), FALSE, 2.3 },
      END } },
  [LW_SHEET_CARRIER] = {
    N_("Ceramic leadless carrier"), "LCC CLCC", "JEDEC MS-002",
    { LW_KIND_LEADLESS, LW_KIND_CRYSTAL, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "D", N_("Body length"), TRUE, 8.89 },
      { LW_FIGURE_BODY_Y, "E", N_("Body width"), TRUE, 8.89 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 2.0 },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 1.27 },
      { LW_FIGURE_COUNT, "N", N_("Terminals"), TRUE, 20 },
      { LW_FIGURE_JOINT, "L", N_("Terminal length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Terminal width"), FALSE, USUAL },
      END } },
  [LW_SHEET_CHIP] = {
    N_("Chip with two ends"), "CAPC RESC INDC LEDC FUSC MELF 0201 0402 0603 0805 1206 2512", "IEC 60115-8, 60384-1",
    { LW_KIND_CERAMIC_CAPACITOR, LW_KIND_RESISTOR, LW_KIND_INDUCTOR, LW_KIND_LED, LW_KIND_FUSE,
      LW_KIND_CRYSTAL, LW_KIND_TANTALUM, LW_KIND_FILM_CAPACITOR, LW_KIND_OTHER, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "L", N_("Length"), TRUE, 1.6 },
      { LW_FIGURE_BODY_Y, "W", N_("Width"), TRUE, 0.8 },
      { LW_FIGURE_HEIGHT, "H", N_("Height"), TRUE, 0.8 },
      { LW_FIGURE_JOINT, "l", N_("Terminal length"), FALSE, USUAL },
      END } },
  [LW_SHEET_MOULDED] = {
    N_("Moulded, two strips"), "CAPMP DIOM SMA SMB SMC SOD tantalum case A B C D", "EIA-535BAAC",
    { LW_KIND_TANTALUM, LW_KIND_POLYMER_CAPACITOR, LW_KIND_LEADED, LW_KIND_INDUCTOR, LW_KIND_FUSE,
      LW_KIND_LED, LW_KIND_FILM_CAPACITOR, LW_KIND_RESISTOR, LW_KIND_CRYSTAL, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "L", N_("Length over strips"), TRUE, 7.3 },
      { LW_FIGURE_BODY_X, "", N_("Body length"), FALSE, USUAL },
      { LW_FIGURE_BODY_Y, "W", N_("Width"), TRUE, 4.3 },
      { LW_FIGURE_HEIGHT, "H", N_("Height"), TRUE, 2.8 },
      { LW_FIGURE_JOINT, "S", N_("Strip length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "F", N_("Strip width"), FALSE, USUAL },
      END } },
  [LW_SHEET_CAN] = {
    N_("Can on a base plate"), "CAPAE electrolytic polymer V-chip", "EIA/IS-749",
    { LW_KIND_ELECTROLYTIC, LW_KIND_POLYMER_CAPACITOR, LW_KIND_SUPERCAPACITOR, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "A", N_("Base plate"), TRUE, 6.6 },
      { LW_FIGURE_HEIGHT, "L", N_("Height"), TRUE, 5.4 },
      { LW_FIGURE_JOINT, "l", N_("Terminal length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "W", N_("Terminal width"), FALSE, USUAL },
      END } },
  [LW_SHEET_CORNERS] = {
    N_("Four lands in the corners"), "OSC XTAL crystal oscillator", "",
    { LW_KIND_CRYSTAL, LW_KIND_LED, LW_KIND_MICROPHONE, LW_KIND_INDUCTOR, LW_KIND_SWITCH, LW_KIND_OTHER,
      LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "L", N_("Length"), TRUE, 3.2 },
      { LW_FIGURE_BODY_Y, "W", N_("Width"), TRUE, 2.5 },
      { LW_FIGURE_HEIGHT, "H", N_("Height"), TRUE, 0.8 },
      { LW_FIGURE_JOINT, "", N_("Land length"), FALSE, USUAL },
      { LW_FIGURE_JOINT_WIDTH, "", N_("Land width"), FALSE, USUAL },
      END } },
  [LW_SHEET_DUAL_PIN] = {
    N_("Two rows of pins"), "DIP PDIP header relay", "JEDEC MS-001",
    { LW_KIND_LEADED, LW_KIND_OPTOCOUPLER, LW_KIND_RELAY, LW_KIND_CONNECTOR, LW_KIND_SWITCH,
      LW_KIND_TRANSFORMER, LW_KIND_MODULE, LW_N_KINDS },
    { { LW_FIGURE_SPAN_X, "eA", N_("Row to row"), TRUE, 7.62 },
      { LW_FIGURE_BODY_X, "E1", N_("Body width"), FALSE, USUAL },
      { LW_FIGURE_BODY_Y, "D", N_("Body length"), TRUE, 19.05 },
      { LW_FIGURE_HEIGHT, "A", N_("Seated height"), TRUE, 5.08 },
      { LW_FIGURE_STANDOFF, "A1", N_("Stand-off"), FALSE, USUAL },
      { LW_FIGURE_PITCH, "e", N_("Pitch"), TRUE, 2.54 },
      { LW_FIGURE_COUNT, "N", N_("Pins"), TRUE, 14 },
      { LW_FIGURE_JOINT_WIDTH, "b", N_("Pin width"), FALSE, USUAL },
      END } },
  [LW_SHEET_RADIAL] = {
    N_("Upright, two pins"), "CAPPRD CAPRR radial electrolytic film", "",
    { LW_KIND_ELECTROLYTIC, LW_KIND_FILM_CAPACITOR, LW_KIND_CERAMIC_CAPACITOR, LW_KIND_POLYMER_CAPACITOR,
      LW_KIND_SUPERCAPACITOR, LW_KIND_INDUCTOR, LW_KIND_CRYSTAL, LW_KIND_OTHER, LW_N_KINDS },
    { { LW_FIGURE_BODY_X, "D", N_("Diameter or length"), TRUE, 10 },
      { LW_FIGURE_BODY_Y, "T", N_("Width, when not round"), FALSE, USUAL },
      { LW_FIGURE_HEIGHT, "L", N_("Height"), TRUE, 12.5 },
      { LW_FIGURE_SPAN_X, "F", N_("Pin to pin"), TRUE, 5 },
      { LW_FIGURE_JOINT_WIDTH, "d", N_("Pin diameter"), FALSE, USUAL },
      END } },
};

const LwDatasheetInfo *
lw_datasheet_info (LwDatasheetFamily family)
{
  g_return_val_if_fail (family < LW_SHEET_N_FAMILIES, &infos[0]);
  return &infos[family];
}

const LwDatasheetRow *
lw_datasheet_row (LwDatasheetFamily family, LwFigure figure)
{
  for (const LwDatasheetRow *row = lw_datasheet_info (family)->rows; row->letter != NULL; row++)
    if (row->figure == figure)
      return row;
  return NULL;
}
