package org.bathwarden.line.modbus;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Writer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.bathwarden.line.Await;

/**
 * Two ends of a serial line, made by socat, and at the far one units of another make: pymodbus.
 * Fails if socat, the Python of the system or its packages are not installed.
 */
public final class SerialUnits implements AutoCloseable {

  private static final Path SCRIPT = Path.of("src/test/resources/peer/rtu_units.py");

  private final Path near;
  private final Process line;
  private final Process units;
  private final BufferedReader said;
  private final Writer told;

  public SerialUnits(Path folder) throws IOException {
    near = folder.resolve("near");
    Path far = folder.resolve("far");
    line =
        new ProcessBuilder("socat", "pty,raw,echo=0,link=" + near, "pty,raw,echo=0,link=" + far)
            .inheritIO()
            .start();
    Await.until(() -> Files.exists(near) && Files.exists(far));
    units =
        new ProcessBuilder("/usr/bin/python3", SCRIPT.toString(), far.toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    said = new BufferedReader(new InputStreamReader(units.getInputStream(), UTF_8));
    told = units.outputWriter(UTF_8);
    hear("ready");
  }

  /** The end for a master. */
  public String device() {
    return near.toString();
  }

  /** Has the units answer in another way; returns once they do. */
  void answer(String how) throws IOException {
    told.write(how + "\n");
    told.flush();
    hear(how);
  }

  /** Requests to write that reached a unit. */
  int writes() throws IOException {
    told.write("writes\n");
    told.flush();
    return Integer.parseInt(said.readLine());
  }

  /** Pulls the line out. */
  void unplug() {
    stop(line);
  }

  private void hear(String word) throws IOException {
    String heard = said.readLine();
    if (!word.equals(heard)) {
      throw new AssertionError("the units said " + heard + " in place of " + word);
    }
  }

  private static void stop(Process process) {
    process.destroyForcibly();
    process.onExit().orTimeout(10, TimeUnit.SECONDS).join();
  }

  @Override
  public void close() {
    stop(units);
    stop(line);
  }
}
