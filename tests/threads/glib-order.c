/* What GLib's own locks and counts order, told to the thread sanitizer.
 *
 * Debian's GLib is not built with the sanitizer, and its mutexes are futexes of its own: the sanitizer sees none of them
 * and would report everything they guard. This library is preloaded before GLib, passes every call on, and says what the
 * call orders (__tsan_release() before, __tsan_acquire() after), never more than GLib's manual promises. So no report has
 * to be suppressed that a true race could hide behind. */
#include <dlfcn.h>
#include <gio/gio.h>

void __tsan_acquire (void *at);
void __tsan_release (void *at);

/* REAL (f) is GLib's own f. */
#define REAL(f) ((__typeof__ (&f)) real (#f))

static gpointer
real (const char *name)
{
  gpointer f = dlsym (RTLD_NEXT, name);

  if (f == NULL)
    __builtin_trap ();
  return f;
}

#define REAL_ONCE(f)                                                                                     \
  static __typeof__ (&f) f##_real;                                                                       \
  if (__atomic_load_n (&f##_real, __ATOMIC_RELAXED) == NULL)                                             \
  __atomic_store_n (&f##_real, REAL (f), __ATOMIC_RELAXED)

/* For this process alone: what it starts (xdotool, say) is not built with the sanitizer. */
__attribute__ ((constructor)) static void
begin (void)
{
  g_unsetenv ("LD_PRELOAD");
}

/* ---- locks ---- */

#define LOCKS(f, type)                                                                                   \
  void(f) (type * lock)                                                                                  \
  {                                                                                                      \
    REAL_ONCE (f);                                                                                       \
    f##_real (lock);                                                                                     \
    __tsan_acquire (lock);                                                                               \
  }
#define UNLOCKS(f, type)                                                                                 \
  void(f) (type * lock)                                                                                  \
  {                                                                                                      \
    REAL_ONCE (f);                                                                                       \
    __tsan_release (lock);                                                                               \
    f##_real (lock);                                                                                     \
  }

LOCKS (g_mutex_lock, GMutex)
UNLOCKS (g_mutex_unlock, GMutex)
LOCKS (g_rw_lock_writer_lock, GRWLock)
UNLOCKS (g_rw_lock_writer_unlock, GRWLock)
LOCKS (g_rw_lock_reader_lock, GRWLock)
UNLOCKS (g_rw_lock_reader_unlock, GRWLock)

void
g_cond_wait (GCond *cond, GMutex *mutex)
{
  REAL_ONCE (g_cond_wait);
  __tsan_release (mutex);
  g_cond_wait_real (cond, mutex);
  __tsan_acquire (mutex);
}

typedef struct {
  GOnce *once;
  GThreadFunc func;
  gpointer arg;
} OnceCall;

/* Released before GLib says that it is done: from then on others read without asking g_once_impl(). */
static gpointer
once_now (gpointer data)
{
  OnceCall *self = data;
  gpointer out = self->func (self->arg);

  __tsan_release (self->once);
  return out;
}

gpointer
(g_once_impl) (GOnce *once, GThreadFunc func, gpointer arg)
{
  OnceCall call = { once, func, arg };
  gpointer out = REAL (g_once_impl) (once, once_now, &call);

  __tsan_acquire (once);
  return out;
}

/* Whoever waited while another made it, sees what that one wrote. */
gboolean
(g_once_init_enter) (volatile void *location)
{
  gboolean first = REAL (g_once_init_enter) (location);

  if (!first)
    __tsan_acquire ((gpointer) location);
  return first;
}

void
(g_once_init_leave) (volatile void *location, gsize result)
{
  __tsan_release ((gpointer) location);
  REAL (g_once_init_leave) (location, result);
}

/* ---- counts: each is one atomic read and write, and what falls to nothing is freed by whoever sees it ---- */

#define COUNTS_DOWN(f)                                                                                   \
  void(f) (gpointer self)                                                                                \
  {                                                                                                      \
    REAL_ONCE (f);                                                                                       \
    if (self != NULL) {                                                                                  \
      __tsan_release (self);                                                                             \
      __tsan_acquire (self);                                                                             \
    }                                                                                                    \
    ((void (*) (gpointer)) f##_real) (self);                                                             \
  }

COUNTS_DOWN (g_object_unref)

void
g_atomic_rc_box_release_full (gpointer box, GDestroyNotify clear)
{
  REAL_ONCE (g_atomic_rc_box_release_full);
  __tsan_release (box);
  __tsan_acquire (box);
  g_atomic_rc_box_release_full_real (box, clear);
}

#define COUNTS_DOWN_OF(f, type)                                                                          \
  void f (type *self)                                                                                    \
  {                                                                                                      \
    REAL_ONCE (f);                                                                                       \
    if (self != NULL) {                                                                                  \
      __tsan_release (self);                                                                             \
      __tsan_acquire (self);                                                                             \
    }                                                                                                    \
    f##_real (self);                                                                                     \
  }

COUNTS_DOWN_OF (g_ptr_array_unref, GPtrArray)
COUNTS_DOWN_OF (g_array_unref, GArray)
COUNTS_DOWN_OF (g_hash_table_unref, GHashTable)
COUNTS_DOWN_OF (g_bytes_unref, GBytes)

/* ---- pools: what was pushed is seen whole by the thread that takes it ---- */

typedef struct {
  GFunc func;
  gpointer user;
} PoolWork;

static void
work (gpointer data, gpointer user)
{
  PoolWork *self = user;

  __tsan_acquire (self);
  __tsan_acquire (data);
  self->func (data, self->user);
}

GThreadPool *
g_thread_pool_new (GFunc func, gpointer user, gint most, gboolean exclusive, GError **error)
{
  PoolWork *self = g_new (PoolWork, 1); /* as long as the process: the program's pools are */

  *self = (PoolWork){ func, user };
  __tsan_release (self);
  return REAL (g_thread_pool_new) (work, self, most, exclusive, error);
}

gboolean
g_thread_pool_push (GThreadPool *pool, gpointer data, GError **error)
{
  REAL_ONCE (g_thread_pool_push);
  __tsan_release (data);
  return g_thread_pool_push_real (pool, data, error);
}

/* ---- tasks: into the thread, and back with the answer ---- */

static GQuark
func_quark (void)
{
  return g_quark_from_static_string ("glib-order-func");
}

static void
task_work (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GTaskThreadFunc func = (GTaskThreadFunc) g_object_get_qdata (G_OBJECT (task), func_quark ());

  __tsan_acquire (task);
  func (task, source, data, cancellable);
}

void
g_task_run_in_thread (GTask *task, GTaskThreadFunc func)
{
  g_object_set_qdata (G_OBJECT (task), func_quark (), (gpointer) func);
  __tsan_release (task);
  REAL (g_task_run_in_thread) (task, task_work);
}

void
g_task_return_pointer (GTask *task, gpointer result, GDestroyNotify destroy)
{
  __tsan_release (task);
  REAL (g_task_return_pointer) (task, result, destroy);
}

void
g_task_return_error (GTask *task, GError *error)
{
  __tsan_release (task);
  REAL (g_task_return_error) (task, error);
}

gpointer
g_task_propagate_pointer (GTask *task, GError **error)
{
  gpointer out = REAL (g_task_propagate_pointer) (task, error);

  __tsan_acquire (task);
  return out;
}

/* ---- sources: what was attached is seen whole by the loop that dispatches it ----
 *
 * Our own Call is made in one thread and read in another too: it is released under its own address, which the reader has
 * without looking into it, before the source's may be read from it. */

typedef struct {
  GSource *source; /* as an address alone */
  GSourceFunc func;
  gpointer data;
  GDestroyNotify notify;
} Call;

static gboolean
call_now (gpointer data)
{
  Call *self = data;

  __tsan_acquire (self);
  __tsan_acquire (self->source);
  return self->func (self->data);
}

static void
call_free (gpointer data)
{
  Call *self = data;

  __tsan_acquire (self);
  __tsan_acquire (self->source);
  if (self->notify != NULL)
    self->notify (self->data);
  g_free (self);
}

/* Idle sources alone: the callbacks of others have arguments. */
void
g_source_set_callback (GSource *source, GSourceFunc func, gpointer data, GDestroyNotify notify)
{
  Call *self;

  REAL_ONCE (g_source_set_callback);
  if (source->source_funcs != &g_idle_funcs) {
    g_source_set_callback_real (source, func, data, notify);
    return;
  }
  self = g_new (Call, 1);
  *self = (Call){ source, func, data, notify };
  __tsan_release (self);
  g_source_set_callback_real (source, call_now, self, call_free);
}

guint
g_source_attach (GSource *source, GMainContext *context)
{
  REAL_ONCE (g_source_attach);
  __tsan_release (source);
  return g_source_attach_real (source, context);
}
