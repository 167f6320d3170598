package org.bathwarden.service;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.File;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

/** In processes of their own, since they end. */
class LastResortTest {

  /** Something goes wrong in a thread, while the main thread and a shutdown hook never end. */
  static final class Child {
    private Child() {}

    /** With the name of what is thrown. */
    public static void main(String[] args) throws InterruptedException {
      LastResort.install();
      CountDownLatch never = new CountDownLatch(1);
      Runtime.getRuntime().addShutdownHook(new Thread(() -> awaitQuietly(never)));
      Thread victim = new Thread(() -> fail(args[0]), "victim");
      victim.start();
      victim.join();
      System.exit(args[0].equals("exception") ? halt() : 1);
    }

    private static int halt() {
      Runtime.getRuntime().halt(3);
      return 3;
    }

    private static void fail(String how) {
      switch (how) {
        case "stack" -> fail(how);
        case "memory" -> throw new OutOfMemoryError("planted");
        case "class" -> throw new NoClassDefFoundError("planted");
        default -> throw new IllegalStateException("planted");
      }
    }

    private static void awaitQuietly(CountDownLatch latch) {
      try {
        latch.await();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  private record End(int exitCode, String said) {}

  private static End of(String how) throws Exception {
    Set<String> classpath = new LinkedHashSet<>();
    for (Class<?> needed :
        List.of(
            LastResort.class,
            Child.class,
            org.slf4j.Logger.class,
            ch.qos.logback.classic.Logger.class,
            ch.qos.logback.core.Appender.class)) {
      classpath.add(
          Path.of(needed.getProtectionDomain().getCodeSource().getLocation().toURI()).toString());
    }
    Process child =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                String.join(File.pathSeparator, classpath),
                Child.class.getName(),
                how)
            .redirectErrorStream(true)
            .start();
    try {
      String said = new String(child.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      assertTrue(child.waitFor(60, TimeUnit.SECONDS), "does not end");
      return new End(child.exitValue(), said);
    } finally {
      child.destroyForcibly();
    }
  }

  /** 70: EX_SOFTWARE in sysexits.h of 4.3BSD (from memory); anything but 0 restarts the service. */
  @Test
  void anErrorInAnyThreadEndsTheProcessAndIsLogged() throws Exception {
    for (String how : List.of("stack", "memory", "class")) {
      End end = of(how);
      assertEquals(70, end.exitCode(), end.said());
      assertTrue(end.said().contains("thread victim ended in an error"), end.said());
    }
  }

  @Test
  void anExceptionInAThreadOfALibraryDoesNot() throws Exception {
    End end = of("exception");
    assertEquals(3, end.exitCode(), end.said());
    assertTrue(end.said().contains("thread victim ended in an exception"), end.said());
  }
}
