#include "draw/palette.h"

/* 0xRRGGBB with an opacity in hundredths. */
#define INK(rgb, percent)                                                                              \
  {                                                                                                    \
    (((rgb) >> 16) & 0xff) / 255.0, (((rgb) >> 8) & 0xff) / 255.0, ((rgb) & 0xff) / 255.0,             \
        (percent) / 100.0                                                                              \
  }

/* Warm paper under dark ink. */
static const LwPalette light_look = {
  .desk = INK (0xefeae0, 100), .grid = INK (0x8a7f6c, 22), .board = INK (0xfdfbf6, 100),
  .board_edge = INK (0x3a4149, 100), .shadow = INK (0x4a3f2a, 16),
  .ink = INK (0x262b31, 100), .ink_soft = INK (0x59606a, 100), .ink_faint = INK (0x8d9097, 100),
  .halo = INK (0xfffdf8, 88), .body_edge = INK (0x4b525c, 100), .joint = INK (0x8b8378, 100),
  .ghost = INK (0x6d7480, 60), .accent = INK (0x1d728f, 100),
  .nozzle = INK (0x14304a, 100), .preheat = INK (0x7a3e12, 100), .shield = INK (0x4c5a2a, 100),
  .thermocouple = INK (0x2a4a35, 100), .isotherm = INK (0x33303a, 85), .liquidus = INK (0x14304a, 100),
  .gas = INK (0xb3411e, 100), .warmth = INK (0x8a6a14, 100),
  .joints = INK (0x1f4f8f, 100), .body = INK (0x2b2f36, 100),
  .neighbour = { INK (0x2f7a55, 100), INK (0x5a5aa8, 100), INK (0xa2601a, 100),
                 INK (0x8a3a7a, 100), INK (0x6a6f2a, 100), INK (0x8a4a4a, 100) },
  .limit = INK (0xa3202f, 100), .stage = INK (0x6f6552, 7),
};

/* Deep slate under pale ink. */
static const LwPalette dark_look = {
  .desk = INK (0x191d22, 100), .grid = INK (0x9fb0c4, 15), .board = INK (0x252b33, 100),
  .board_edge = INK (0xaeb9c6, 100), .shadow = INK (0x000000, 40),
  .ink = INK (0xeceff3, 100), .ink_soft = INK (0xb2bac5, 100), .ink_faint = INK (0x7f8996, 100),
  .halo = INK (0x14171b, 82), .body_edge = INK (0xaab4c0, 100), .joint = INK (0x9a9488, 100),
  .ghost = INK (0x8f9bab, 55), .accent = INK (0x80e5ff, 100),
  .nozzle = INK (0xeaf4ff, 100), .preheat = INK (0xf0b98a, 100), .shield = INK (0xc5d69a, 100),
  .thermocouple = INK (0xa5dcbc, 100), .isotherm = INK (0xf3f1ec, 80), .liquidus = INK (0xffffff, 100),
  .gas = INK (0xf08a62, 100), .warmth = INK (0xd8bb5e, 100),
  .joints = INK (0x7db4f2, 100), .body = INK (0xe7eaee, 100),
  .neighbour = { INK (0x7bcfa4, 100), INK (0xa9a9f0, 100), INK (0xe8a962, 100),
                 INK (0xd694ca, 100), INK (0xc4ca78, 100), INK (0xe0a0a0, 100) },
  .limit = INK (0xff8088, 100), .stage = INK (0xc0d0e4, 5),
};

/* Black on white: greys only, told apart by dash and weight. */
static const LwPalette print_look = {
  .desk = INK (0xffffff, 100), .grid = INK (0x000000, 16), .board = INK (0xffffff, 100),
  .board_edge = INK (0x000000, 100), .shadow = INK (0x000000, 0),
  .ink = INK (0x000000, 100), .ink_soft = INK (0x303030, 100), .ink_faint = INK (0x6a6a6a, 100),
  .halo = INK (0xffffff, 95), .body_edge = INK (0x202020, 100), .joint = INK (0x8a8a8a, 100),
  .ghost = INK (0x606060, 70), .accent = INK (0x000000, 100),
  .nozzle = INK (0x000000, 100), .preheat = INK (0x000000, 100), .shield = INK (0x000000, 100),
  .thermocouple = INK (0x000000, 100), .isotherm = INK (0x000000, 100), .liquidus = INK (0x000000, 100),
  .gas = INK (0x000000, 100), .warmth = INK (0x505050, 100),
  .joints = INK (0x000000, 100), .body = INK (0x000000, 100),
  .neighbour = { INK (0x303030, 100), INK (0x303030, 100), INK (0x303030, 100),
                 INK (0x303030, 100), INK (0x303030, 100), INK (0x303030, 100) },
  .limit = INK (0x000000, 100), .stage = INK (0x000000, 4),
};

/* Every line and word at 7:1 or better on the board and beside it (WCAG 2.1, 1.4.6). */
static const LwPalette light_strong_look = {
  .desk = INK (0xffffff, 100), .grid = INK (0x000000, 30), .board = INK (0xffffff, 100),
  .board_edge = INK (0x000000, 100), .shadow = INK (0x000000, 0),
  .ink = INK (0x000000, 100), .ink_soft = INK (0x1c1c1c, 100), .ink_faint = INK (0x464646, 100),
  .halo = INK (0xffffff, 100), .body_edge = INK (0x000000, 100), .joint = INK (0x4a4a4a, 100),
  .ghost = INK (0x303030, 90), .accent = INK (0x005f70, 100),
  .nozzle = INK (0x001f3a, 100), .preheat = INK (0x5c2a00, 100), .shield = INK (0x2f3d0f, 100),
  .thermocouple = INK (0x0f3a20, 100), .isotherm = INK (0x000000, 100), .liquidus = INK (0x000000, 100),
  .gas = INK (0x7f2506, 100), .warmth = INK (0x574000, 100),
  .joints = INK (0x0a3a7d, 100), .body = INK (0x000000, 100),
  .neighbour = { INK (0x0b5231, 100), INK (0x34347f, 100), INK (0x6b3a00, 100),
                 INK (0x641f57, 100), INK (0x44490a, 100), INK (0x6a2626, 100) },
  .limit = INK (0x8a0f1e, 100), .stage = INK (0x000000, 8),
};

static const LwPalette dark_strong_look = {
  .desk = INK (0x000000, 100), .grid = INK (0xffffff, 30), .board = INK (0x000000, 100),
  .board_edge = INK (0xffffff, 100), .shadow = INK (0x000000, 0),
  .ink = INK (0xffffff, 100), .ink_soft = INK (0xe6e6e6, 100), .ink_faint = INK (0xbcbcbc, 100),
  .halo = INK (0x000000, 100), .body_edge = INK (0xffffff, 100), .joint = INK (0xb8b8b8, 100),
  .ghost = INK (0xcccccc, 90), .accent = INK (0x6fe4fa, 100),
  .nozzle = INK (0xeaf4ff, 100), .preheat = INK (0xffc79a, 100), .shield = INK (0xd5e8a5, 100),
  .thermocouple = INK (0xb4f0cd, 100), .isotherm = INK (0xffffff, 100), .liquidus = INK (0xffffff, 100),
  .gas = INK (0xffa07a, 100), .warmth = INK (0xf0d36c, 100),
  .joints = INK (0x8cb4ff, 100), .body = INK (0xffffff, 100),
  .neighbour = { INK (0x93ecc0, 100), INK (0xc4c4ff, 100), INK (0xffc27a, 100),
                 INK (0xf0b2e4, 100), INK (0xdde38a, 100), INK (0xffbcbc, 100) },
  .limit = INK (0xff9aa0, 100), .stage = INK (0xffffff, 12),
};

LwLook
lw_look_plain (LwLook look)
{
  return look == LW_LOOK_LIGHT_STRONG ? LW_LOOK_LIGHT : look == LW_LOOK_DARK_STRONG ? LW_LOOK_DARK : look;
}

const LwPalette *
lw_palette (LwLook look)
{
  switch (look) {
  case LW_LOOK_LIGHT_STRONG:
    return &light_strong_look;
  case LW_LOOK_DARK_STRONG:
    return &dark_strong_look;
  case LW_LOOK_DARK:
    return &dark_look;
  case LW_LOOK_PRINT:
    return &print_look;
  case LW_LOOK_LIGHT:
    break;
  }
  return &light_look;
}

typedef enum {
  FAMILY_OTHER,
  FAMILY_ARRAY,
  FAMILY_CHIP,    /* leaded and leadless circuits */
  FAMILY_PASSIVE, /* small two-terminal parts */
  FAMILY_CAN,     /* capacitors with a fluid or resin */
  FAMILY_COIL,
  FAMILY_PLASTIC, /* connectors, switches, relays */
  FAMILY_CELL,
  FAMILY_METAL,
  FAMILY_LIGHT,
  N_FAMILIES
} Family;

static const LwColor families[3][N_FAMILIES] = {
  [LW_LOOK_LIGHT] = { INK (0xe4e0d8, 100), INK (0xc7d3e1, 100), INK (0xd5dbe2, 100), INK (0xead9bb, 100),
                      INK (0xc9ddd3, 100), INK (0xd9cdc4, 100), INK (0xdfd4e4, 100), INK (0xefe3ab, 100),
                      INK (0xdcdedf, 100), INK (0xf3d3cd, 100) },
  [LW_LOOK_DARK] = { INK (0x3d4148, 100), INK (0x3b4d66, 100), INK (0x3f4854, 100), INK (0x554a38, 100),
                     INK (0x3a5249, 100), INK (0x4d443d, 100), INK (0x4b4157, 100), INK (0x58502c, 100),
                     INK (0x4a4f55, 100), INK (0x5c433f, 100) },
  [LW_LOOK_PRINT] = { INK (0xf2f2f2, 100), INK (0xe2e2e2, 100), INK (0xeaeaea, 100), INK (0xf6f6f6, 100),
                      INK (0xe8e8e8, 100), INK (0xededed, 100), INK (0xf4f4f4, 100), INK (0xe6e6e6, 100),
                      INK (0xf0f0f0, 100), INK (0xf8f8f8, 100) },
};

static Family
family_of (LwPackageKind kind)
{
  switch (kind) {
  case LW_KIND_AREA_ARRAY:
    return FAMILY_ARRAY;
  case LW_KIND_LEADED:
  case LW_KIND_LEADLESS:
  case LW_KIND_MODULE:
  case LW_KIND_OPTOCOUPLER:
  case LW_KIND_MICROPHONE:
    return FAMILY_CHIP;
  case LW_KIND_CERAMIC_CAPACITOR:
  case LW_KIND_RESISTOR:
  case LW_KIND_FUSE:
    return FAMILY_PASSIVE;
  case LW_KIND_ELECTROLYTIC:
  case LW_KIND_POLYMER_CAPACITOR:
  case LW_KIND_TANTALUM:
  case LW_KIND_FILM_CAPACITOR:
  case LW_KIND_SUPERCAPACITOR:
    return FAMILY_CAN;
  case LW_KIND_INDUCTOR:
  case LW_KIND_TRANSFORMER:
    return FAMILY_COIL;
  case LW_KIND_CONNECTOR:
  case LW_KIND_SWITCH:
  case LW_KIND_RELAY:
    return FAMILY_PLASTIC;
  case LW_KIND_COIN_CELL:
  case LW_KIND_CELL_HOLDER:
    return FAMILY_CELL;
  case LW_KIND_CRYSTAL:
  case LW_KIND_SHIELD_CAN:
    return FAMILY_METAL;
  case LW_KIND_LED:
    return FAMILY_LIGHT;
  default:
    return FAMILY_OTHER;
  }
}

LwColor
lw_palette_body (LwPackageKind kind, LwLook look)
{
  return families[lw_look_plain (look)][family_of (kind)];
}

LwColor
lw_color_fade (LwColor color, double alpha)
{
  color.a *= alpha;
  return color;
}

LwColor
lw_color_mix (LwColor from, LwColor to, double share)
{
  return (LwColor){ from.r + (to.r - from.r) * share, from.g + (to.g - from.g) * share,
                    from.b + (to.b - from.b) * share, from.a + (to.a - from.a) * share };
}

double
lw_color_luma (LwColor color)
{
  return 0.2126 * color.r + 0.7152 * color.g + 0.0722 * color.b;
}

void
lw_color_set (cairo_t *cr, LwColor color)
{
  cairo_set_source_rgba (cr, color.r, color.g, color.b, color.a);
}
