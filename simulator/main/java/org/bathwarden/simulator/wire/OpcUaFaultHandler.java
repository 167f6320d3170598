package org.bathwarden.simulator.wire;

import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import io.netty.channel.ChannelDuplexHandler;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelFutureListener;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelPromise;
import io.netty.util.ReferenceCountUtil;
import io.netty.util.concurrent.ScheduledFuture;
import java.util.concurrent.TimeUnit;

/**
 * Sits nearest the socket of one OPC UA connection and spoils what passes. Called by that
 * connection's event loop.
 */
final class OpcUaFaultHandler extends ChannelDuplexHandler {

  private static final byte[] GARBAGE = {
    (byte) 0xDE, (byte) 0xAD, 0x42, 0x13, 0x37, (byte) 0xFF, 0x00, 0x7E
  };

  private final WireFaults faults;

  OpcUaFaultHandler(WireFaults faults) {
    this.faults = faults;
  }

  @Override
  public void channelRead(ChannelHandlerContext context, Object message) {
    if (faults.stands(WireFault.LINK_CUT)) {
      ReferenceCountUtil.release(message);
      ChannelFuture unused = context.close();
    } else if (faults.strikes(WireFault.HALF_OPEN)) {
      ReferenceCountUtil.release(message);
    } else {
      context.fireChannelRead(message);
    }
  }

  @Override
  public void write(ChannelHandlerContext context, Object message, ChannelPromise promise) {
    if (faults.stands(WireFault.HALF_OPEN) || faults.strikes(WireFault.LOST_REPLY)) {
      ReferenceCountUtil.release(message);
      promise.trySuccess();
      return;
    }
    Object sent = spoiled(message);
    boolean truncated = faults.strikes(WireFault.TRUNCATED);
    if (truncated && sent instanceof ByteBuf bytes) {
      bytes.writerIndex(bytes.readerIndex() + bytes.readableBytes() / 2);
      promise.addListener(ChannelFutureListener.CLOSE);
    }
    long delayMs = faults.replyDelay().toMillis();
    if (delayMs == 0) {
      ChannelFuture unused = context.write(sent, promise);
    } else {
      ScheduledFuture<?> unused =
          context
              .executor()
              .schedule(() -> sendNow(context, sent, promise), delayMs, TimeUnit.MILLISECONDS);
    }
  }

  private static void sendNow(ChannelHandlerContext context, Object sent, ChannelPromise promise) {
    ChannelFuture unused = context.writeAndFlush(sent, promise);
  }

  private Object spoiled(Object message) {
    if (!faults.strikes(WireFault.GARBAGE)) {
      return message;
    }
    ReferenceCountUtil.release(message);
    return Unpooled.copiedBuffer(GARBAGE);
  }
}
