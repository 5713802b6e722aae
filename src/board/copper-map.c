#include "board/copper-map.h"

#include <gio/gio.h>
#include <string.h>

static gsize
count_cells (const LwCopperMap *map)
{
  return (gsize) map->columns * map->rows;
}

/* The whole of IN through CONVERTER, at most LIMIT bytes; NULL when it is more, or damaged. */
static GByteArray *
convert (GConverter *converter, const guint8 *in, gsize length, gsize limit)
{
  g_autoptr (GByteArray) out = g_byte_array_new ();
  GConverterResult result = G_CONVERTER_CONVERTED;
  gsize used = 0;

  while (result == G_CONVERTER_CONVERTED)
    {
      guint at = out->len;
      gsize read = 0, written = 0;

      if (at > limit)
        return NULL;
      g_byte_array_set_size (out, at + 65536);
      result = g_converter_convert (converter, in + used, length - used, out->data + at, 65536,
                                    G_CONVERTER_INPUT_AT_END, &read, &written, NULL);
      if (result == G_CONVERTER_ERROR)
        return NULL;
      used += read;
      g_byte_array_set_size (out, at + written);
    }
  return out->len <= limit && used == length ? g_steal_pointer (&out) : NULL;
}

void
lw_copper_map_add (LwCopperMap *map, const char *layer, const guint8 *cells)
{
  g_autoptr (GConverter) packer = G_CONVERTER (g_zlib_compressor_new (G_ZLIB_COMPRESSOR_FORMAT_ZLIB, 6));
  g_autoptr (GByteArray) packed = convert (packer, cells, count_cells (map), G_MAXUINT / 2);
  LwLayerCover *cover = lw_layer_cover_new ();

  g_free (cover->layer);
  g_free (cover->cells);
  cover->layer = g_strdup (layer);
  cover->cells = g_base64_encode (packed->data, packed->len);
  g_ptr_array_add (map->covers, cover);
}

int
lw_copper_map_find (const LwCopperMap *map, const char *layer)
{
  for (guint i = 0; i < map->covers->len; i++)
    if (strcmp (((const LwLayerCover *) g_ptr_array_index (map->covers, i))->layer, layer) == 0)
      return (int) i;
  return -1;
}

guint8 *
lw_copper_map_cells (const LwCopperMap *map, guint index)
{
  const LwLayerCover *cover = g_ptr_array_index (map->covers, index);
  g_autoptr (GConverter) unpacker = G_CONVERTER (g_zlib_decompressor_new (G_ZLIB_COMPRESSOR_FORMAT_ZLIB));
  g_autoptr (GByteArray) cells = NULL;
  g_autofree guchar *packed = NULL;
  gsize length;

  if (count_cells (map) == 0 || count_cells (map) > LW_COPPER_MAP_CELLS_MAX)
    return NULL;
  packed = g_base64_decode (cover->cells, &length);
  cells = convert (unpacker, packed, length, count_cells (map));
  if (cells == NULL || cells->len != count_cells (map))
    return NULL;
  return g_byte_array_free (g_steal_pointer (&cells), FALSE);
}
