package org.bathwarden.record;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.zip.Deflater;
import java.util.zip.DeflaterOutputStream;
import java.util.zip.InflaterInputStream;

/** Text in few bytes: UTF-8, deflated. */
final class Packed {

  private Packed() {}

  static byte[] pack(String text) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    Deflater fast = new Deflater(Deflater.BEST_SPEED);
    try (DeflaterOutputStream out = new DeflaterOutputStream(bytes, fast)) {
      out.write(text.getBytes(StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } finally {
      fast.end();
    }
    return bytes.toByteArray();
  }

  static String unpack(byte[] packed) throws RecordException {
    try (InflaterInputStream in = new InflaterInputStream(new ByteArrayInputStream(packed))) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new RecordException("stored bytes cannot be unpacked", e);
    }
  }
}
