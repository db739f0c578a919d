import type { Metadata } from 'next';
import { headers } from 'next/headers';
import { pageData } from '@/lib/protocol';
import { NotYours } from '../../../../../band/NotYours';
import { TapPage } from '../../../../../tap/TapPage';
import { KeptPage } from '../../../../../ui/KeptPage';

interface Props {
  readonly params: Promise<{ bandId: string; songId: string }>;
}

async function load({ params }: Props) {
  const { bandId, songId } = await params;
  const cookie = (await headers()).get('cookie');
  return { songId, result: await pageData().song(bandId, songId, cookie) };
}

export async function generateMetadata(props: Props): Promise<Metadata> {
  const { result } = await load(props);
  return { title: result.ok ? `Tap in: ${result.value.song.title}` : 'Not to be opened' };
}

export default async function Tap(props: Props) {
  const { songId, result } = await load(props);
  if (!result.ok) return <NotYours problem={result.error} />;
  return (
    <>
      <TapPage songId={songId} initial={result.value} />
      <KeptPage />
    </>
  );
}
