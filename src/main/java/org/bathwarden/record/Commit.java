package org.bathwarden.record;

import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;

/** A round of facts on its way to the disk. */
public final class Commit {

  /** Of an empty round: there is nothing to wait for, and it tells nothing about the disk. */
  static final Commit OF_NOTHING = new Commit(CompletableFuture.completedFuture(Durable.DURABLE));

  private final CompletableFuture<Durable> done;

  /** A commit whose end {@code done} tells; it must complete normally. */
  public Commit(CompletableFuture<Durable> done) {
    this.done = done;
  }

  /** Whether a round is on the disk. */
  public enum Durable {
    /** It survives the loss of power. */
    DURABLE,
    /** It could not be written; nothing of it is in the store. */
    FAILED,
    /** It is not known yet. */
    LATE
  }

  /** Waits until it is known, at most until {@code nanoTime} on the monotonic clock. */
  public Durable await(long nanoTime) {
    try {
      return done.get(Math.max(0, nanoTime - System.nanoTime()), TimeUnit.NANOSECONDS);
    } catch (TimeoutException e) {
      return Durable.LATE;
    } catch (ExecutionException e) {
      return Durable.FAILED;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return Durable.LATE;
    }
  }

  /** What is known now. */
  public Durable now() {
    return done.isDone() ? done.getNow(Durable.LATE) : Durable.LATE;
  }
}
