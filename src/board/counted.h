/* How the counted structs of a job are made, copied and given away. */
#ifndef LW_COUNTED_H
#define LW_COUNTED_H

#include <glib.h>

/* Of every type declared so: _new fills in defaults, _copy is deep enough to be written to (children that are
 * reference-counted are shared), _ref/_unref count (atomic), _unref accepts NULL. */
#define LW_DECLARE_COUNTED(Type, prefix)                                                               \
  Type *prefix##_new (void);                                                                           \
  Type *prefix##_copy (const Type *self);                                                              \
  Type *prefix##_ref (Type *self);                                                                     \
  void prefix##_unref (Type *self);                                                                    \
  G_DEFINE_AUTOPTR_CLEANUP_FUNC (Type, prefix##_unref)

#endif
