package org.bathwarden.face.mqtt;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;

/**
 * The mosquitto broker as a process of its own on a free loopback port, with its command line
 * clients. Fails if it is not installed.
 */
final class Mosquitto implements AutoCloseable {
  private final Path folder;
  private final int port;
  private final List<Process> clients = new ArrayList<>();
  private Process broker;

  Mosquitto(Path folder) throws IOException {
    this.folder = folder;
    port = Ports.free();
    Files.createDirectories(folder.resolve("data"));
    Files.writeString(
        folder.resolve("broker.conf"),
        String.join(
            "\n",
            "listener " + port + " 127.0.0.1",
            "allow_anonymous true",
            "persistence true",
            "persistence_location " + folder.resolve("data") + "/",
            "autosave_interval 1",
            "max_queued_messages 100000",
            "user " + System.getProperty("user.name"),
            ""));
    broker = launch();
  }

  int port() {
    return port;
  }

  void start() throws IOException {
    broker = launch();
  }

  private Process launch() throws IOException {
    Process process =
        new ProcessBuilder("mosquitto", "-c", folder.resolve("broker.conf").toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("broker.log").toFile())
            .start();
    Ports.awaitListening("mosquitto", port);
    return process;
  }

  /** SIGKILL. */
  void kill() throws InterruptedException {
    broker.destroyForcibly();
    if (!broker.waitFor(10, TimeUnit.SECONDS)) {
      throw new AssertionError("mosquitto survives SIGKILL");
    }
  }

  /** A subscriber process that writes topic and payload of each message as a line of a file. */
  Path subscribe(String name) throws IOException {
    Path output = folder.resolve(name + ".txt");
    List<String> command =
        List.of(
            "mosquitto_sub",
            "-h",
            "127.0.0.1",
            "-p",
            Integer.toString(port),
            "-q",
            "1",
            "-i",
            name,
            "-c",
            "-t",
            "bathwarden/#",
            "-F",
            "%t %p");
    clients.add(
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(output.toFile())
            .start());
    return output;
  }

  void publish(String topic, String text, boolean retained)
      throws IOException, InterruptedException {
    List<String> command =
        new ArrayList<>(
            List.of(
                "mosquitto_pub",
                "-h",
                "127.0.0.1",
                "-p",
                Integer.toString(port),
                "-q",
                "1",
                "-t",
                topic,
                "-m",
                text));
    if (retained) {
      command.add("-r");
    }
    Process process = new ProcessBuilder(command).inheritIO().start();
    if (!process.waitFor(10, TimeUnit.SECONDS) || process.exitValue() != 0) {
      throw new AssertionError("mosquitto_pub failed");
    }
  }

  @Override
  public void close() {
    clients.forEach(Process::destroyForcibly);
    broker.destroyForcibly();
  }
}
