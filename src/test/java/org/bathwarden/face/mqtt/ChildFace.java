package org.bathwarden.face.mqtt;

import java.io.File;
import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CountDownLatch;

/** A face in a process of its own, to be killed. */
final class ChildFace {
  private ChildFace() {}

  /** Connects to the port given and waits for its end. */
  public static void main(String[] args) throws InterruptedException {
    new Rig(Integer.parseInt(args[0])).awaitConnected();
    new CountDownLatch(1).await();
  }

  static Process start(int port) throws IOException, URISyntaxException {
    Set<String> classpath = new LinkedHashSet<>();
    for (Class<?> needed :
        List.of(
            MqttFace.class,
            ChildFace.class,
            org.eclipse.paho.client.mqttv3.MqttAsyncClient.class,
            com.fasterxml.jackson.databind.ObjectMapper.class,
            com.fasterxml.jackson.core.JsonFactory.class,
            com.fasterxml.jackson.annotation.JsonInclude.class,
            com.fasterxml.jackson.datatype.jdk8.Jdk8Module.class,
            com.fasterxml.jackson.datatype.jsr310.JavaTimeModule.class,
            org.slf4j.Logger.class)) {
      classpath.add(
          Path.of(needed.getProtectionDomain().getCodeSource().getLocation().toURI()).toString());
    }
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-cp",
            String.join(File.pathSeparator, classpath),
            ChildFace.class.getName(),
            Integer.toString(port))
        .inheritIO()
        .start();
  }
}
