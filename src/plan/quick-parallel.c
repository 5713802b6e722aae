/* A few threads that are made once, for work that falls into equal pieces. */
#include "plan/quick.h"

#include "plan/background.h"

/* One call of run(): the caller and any helper that is free take pieces until none is left. Helpers may come
 * when all is done, so the order is counted. */
typedef struct {
  gint ref_count;
  void (*job) (void *data, size_t i);
  void *data;
  gsize n;
  gsize next, done; /* under the lock */
  GMutex lock;
  GCond ready;
} Order;

static void
order_unref (Order *order)
{
  if (!g_atomic_int_dec_and_test (&order->ref_count))
    return;
  g_mutex_clear (&order->lock);
  g_cond_clear (&order->ready);
  g_free (order);
}

static void
work_on (Order *order)
{
  g_mutex_lock (&order->lock);
  while (order->next < order->n) {
    gsize i = order->next++;

    g_mutex_unlock (&order->lock);
    order->job (order->data, i);
    g_mutex_lock (&order->lock);
    if (++order->done == order->n)
      g_cond_broadcast (&order->ready);
  }
  g_mutex_unlock (&order->lock);
}

static void
help (gpointer data, gpointer user)
{
  lw_background_thread ();
  work_on (data);
  order_unref (data);
}

static void
run (void *pool, size_t n, void (*job) (void *data, size_t i), void *data)
{
  guint helpers = MIN (n, (gsize) g_thread_pool_get_max_threads (pool) + 1);
  Order *order = g_new0 (Order, 1);

  *order = (Order){ .ref_count = (gint) MAX (helpers, 1), .job = job, .data = data, .n = n };
  g_mutex_init (&order->lock);
  g_cond_init (&order->ready);
  for (guint i = 1; i < helpers; i++)
    g_thread_pool_push (pool, order, NULL);
  work_on (order);
  g_mutex_lock (&order->lock);
  while (order->done < order->n)
    g_cond_wait (&order->ready, &order->lock);
  g_mutex_unlock (&order->lock);
  order_unref (order);
}

static gpointer
make (gpointer data)
{
  static HeatParallel parallel;
  guint helpers = CLAMP (g_get_num_processors (), 2, 4) - 1;

  parallel = (HeatParallel){ run, g_thread_pool_new (help, NULL, (gint) helpers, TRUE, NULL) };
  return &parallel;
}

const HeatParallel *
lw_quick_parallel (void)
{
  static GOnce once = G_ONCE_INIT;

  return g_once (&once, make, NULL);
}
