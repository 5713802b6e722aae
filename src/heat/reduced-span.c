#include "heat/reduced-span.h"

#include <string.h>

#include "heat/dense.h"

typedef struct {
  HeatSpan *s;
  HeatCross cross;
} Crossing;

static void
cross_piece (void *data, size_t i)
{
  const Crossing *c = data;
  HeatSpan *s = c->s;
  memset (s->part[i], 0, c->cross.ra * c->cross.stride * sizeof (double));
  heat_cross_nodes (&c->cross, heat_piece (s->n, i), heat_piece (s->n, i + 1), s->part[i], s->pads[i]);
}

/* GRAM [i * rb + j] = sum of capacity a_i b_j. */
static void
cross_all (HeatSpan *s, const float *a, size_t ra, const float *b, size_t rb)
{
  Crossing c = { s, { .a = a, .b = b, .weight = s->weight, .ra = ra, .rb = rb, .n = s->n, .stride = rb,
                      .lower = a == b } };
  heat_do_pieces (s->parallel, HEAT_PIECES, cross_piece, &c);
  memset (s->gram, 0, ra * rb * sizeof (double));
  for (size_t p = 0; p < HEAT_PIECES; p++)
    for (size_t i = 0; i < ra * rb; i++)
      s->gram[i] += s->part[p][i];
  for (size_t i = 0; a == b && i < ra; i++)
    for (size_t j = i + 1; j < rb; j++)
      s->gram[i * rb + j] = s->gram[j * rb + i];
}

typedef struct {
  HeatSpan *s;
  const float *from;
  const uint32_t *order;
  const double *coef;
  float *to;
  size_t r, fresh, stride;
} Taking;

static void
take_piece (void *data, size_t i)
{
  const Taking *t = data;
  heat_cross_take (t->from, t->r, t->to, t->fresh, t->s->n, t->coef, t->fresh, heat_piece (t->s->n, i),
                   heat_piece (t->s->n, i + 1));
}

static void
unmix_piece (void *data, size_t i)
{
  const Taking *t = data;
  heat_cross_unmix (t->from, t->order, t->coef, t->stride, t->fresh, t->to, t->s->n, heat_piece (t->s->n, i),
                    heat_piece (t->s->n, i + 1));
}

/* Takes from the FRESH vectors at Z what lies in the R at V. */
static void
take_span (HeatSpan *s, const float *v, size_t r, float *z, size_t fresh)
{
  if (r == 0 || fresh == 0)
    return;
  cross_all (s, v, r, z, fresh);
  Taking t = { .s = s, .from = v, .coef = s->gram, .to = z, .r = r, .fresh = fresh };
  heat_do_pieces (s->parallel, HEAT_PIECES, take_piece, &t);
}

bool
heat_span_polish (HeatSpan *s, float *v, size_t r)
{
  cross_all (s, v, r, v, r);
  if (!heat_dense_factor (s->gram, r))
    return false;
  Taking t = { .s = s, .from = v, .coef = s->gram, .to = v, .fresh = r, .stride = r };
  heat_do_pieces (s->parallel, HEAT_PIECES, unmix_piece, &t);
  return true;
}

bool
heat_span_add (HeatSpan *s, float *v, size_t r, float *z, size_t fresh, double part, size_t room, size_t *taken)
{
  *taken = 0;
  if (fresh == 0)
    return true;
  take_span (s, v, r, z, fresh);
  cross_all (s, z, fresh, z, fresh);
  *taken = heat_dense_pivoted (s->gram, fresh, part, s->order, s->l);
  *taken = *taken > room ? room : *taken;
  float *to = v + r * s->n;
  Taking t = { .s = s, .from = z, .order = s->order, .coef = s->l, .to = to, .fresh = *taken, .stride = fresh };
  heat_do_pieces (s->parallel, HEAT_PIECES, unmix_piece, &t);
  take_span (s, v, r, to, *taken); /* once more of what rounding has left */
  return *taken == 0 || heat_span_polish (s, to, *taken);
}

bool
heat_span_new (HeatArena *arena, const HeatParallel *parallel, size_t n, const double *capacity, size_t most,
               HeatSpan *s)
{
  *s = (HeatSpan){ .parallel = parallel, .n = n, .most = most };
  s->weight = HEAT_TAKE (arena, float, n);
  s->gram = HEAT_TAKE (arena, double, most * most);
  s->l = HEAT_TAKE (arena, double, most * (most + 1));
  s->order = HEAT_TAKE (arena, uint32_t, most);
  if (!s->weight || !s->gram || !s->l || !s->order)
    return false;
  for (size_t i = 0; i < HEAT_PIECES; i++) {
    s->part[i] = HEAT_TAKE (arena, double, most * most);
    s->pads[i] = HEAT_TAKE (arena, float, 2 * most * HEAT_CROSS_RUN);
    if (!s->part[i] || !s->pads[i])
      return false;
  }
  for (size_t i = 0; i < n; i++)
    s->weight[i] = (float) capacity[i];
  return true;
}
