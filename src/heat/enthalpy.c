#include "heat/enthalpy.h"

void
heat_melt_range (HeatMelt *melt, double solidus_c, double liquidus_c)
{
  double middle = (solidus_c + liquidus_c) / 2, span = liquidus_c - solidus_c;
  if (span < HEAT_MELT_SPAN)
    span = HEAT_MELT_SPAN;
  melt->solidus = middle - span / 2;
  melt->liquidus = middle + span / 2;
}

double
heat_melt_liquid (const HeatMelt *m, double t_c)
{
  if (t_c <= m->solidus)
    return 0;
  return t_c >= m->liquidus ? 1 : (t_c - m->solidus) / (m->liquidus - m->solidus);
}

double
heat_melt_enthalpy (const HeatMelt *m, double t_c)
{
  return m->c * t_c + m->latent * heat_melt_liquid (m, t_c);
}

double
heat_melt_temperature (const HeatMelt *m, double h_j)
{
  double start = m->c * m->solidus, end = m->c * m->liquidus + m->latent;
  if (h_j < start)
    return h_j / m->c;
  if (h_j > end)
    return (h_j - m->latent) / m->c;
  return m->solidus + (m->liquidus - m->solidus) * (h_j - start) / (end - start);
}

double
heat_melt_slope (const HeatMelt *m, double t_c)
{
  if (t_c < m->solidus || t_c > m->liquidus)
    return m->c;
  return m->c + m->latent / (m->liquidus - m->solidus);
}
